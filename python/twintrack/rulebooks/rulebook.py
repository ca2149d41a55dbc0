# SPDX-License-Identifier: BSD-3-Clause
"""Written rules: the built-in ones, one's own as text, and what a record did against them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from .. import _core
from ..errors import InputError, closest, listing
from ..files.toml_file import Place, TomlFile
from ..units import quantity
from .text import formula

if TYPE_CHECKING:
    import pandas as pd

_TEXTS = ("source", "clause", "sentence")


#: The rules on what was learned; they stand beside those of a run.
LEARNED_RANGE = "student competition 2024, learned range"


def rules(set: str | None = None) -> list[_core.Rule]:
    """The built-in rules of a run, or those of one set (``"student competition 2024"``, …).

    The set :data:`LEARNED_RANGE` is held against :func:`twintrack.learned_travel`, not against a run.
    """
    every = _core.built_in_rules()
    if set is None:
        return every
    every += _core.learned_range_rules()
    sets = list(by_set(every))
    if set not in sets:
        raise InputError(f"there is no rule set {set!r}{closest(set, sets)} (there are: {listing(sets)})")
    return [rule for rule in every if rule.set == set]


def by_set(rules: Sequence[_core.Rule]) -> dict[str, list[_core.Rule]]:
    """The rules by their set, in order."""
    found: dict[str, list[_core.Rule]] = {}
    for rule in rules:
        found.setdefault(rule.set, []).append(rule)
    return found


def rule(
    *,
    name: str,
    requires: str,
    applies: str = "true",
    limit: str | float = 1.0,
    unit: str = "",
    signals: Mapping[str, str] | None = None,
    **texts: str,
) -> _core.Rule:
    """A rule of one's own: wherever ``applies`` holds, ``requires`` must hold.

    ``limit`` is what a margin is compared with, in ``unit`` (that of the signals compared; empty: a share).
    ``signals`` names, with their units, signals that a bench does not record. Further texts: ``set``,
    ``source``, ``clause``, ``sentence``, ``basis``.
    """
    return _core.Rule(
        name=name,
        requires=formula(requires, signals),
        applies=formula(applies, signals),
        scale=quantity(limit, unit),
        unit=unit,
        **texts,
    )


def evaluate(
    record: Any,
    rules: Sequence[_core.Rule] | None = None,
    *,
    parameters: _core.BenchParameters | None = None,
    learned: _core.LearnedRange | None = None,
) -> list[_core.Verdict]:
    """One verdict a rule (default: all built-in ones), in order.

    ``record`` is a record, what a run gave, a data frame over time in seconds, or a dict of arrays with
    ``"time"``. The rules on tracks and on idle need the bench's ``parameters``, those on the agreement of
    tracks also its ``learned`` range; without them they are not applicable.
    """
    chosen = _core.built_in_rules() if rules is None else list(rules)
    return _core.judge_rules(chosen, _record(record), parameters=parameters, learned=learned)


def _record(given: Any) -> _core.Record:
    given = getattr(given, "record", given)
    if isinstance(given, _core.Record):
        return given
    if isinstance(given, Mapping):
        columns = dict(given)
        if "time" not in columns:
            raise InputError("the dict of arrays has no 'time'")
        return _core.record_of(columns.pop("time"), columns)
    if hasattr(given, "columns") and hasattr(given, "index"):
        return _core.record_of(given.index.to_numpy(), {str(k): given[k].to_numpy() for k in given.columns})
    raise InputError("needs a record, a run, a data frame over time, or a dict of arrays with 'time'")


_COLUMNS = {
    "case": "int64",
    **dict.fromkeys(("set", "rule", "clause", "finding"), "str"),
    **dict.fromkeys(("when_s", "margin"), "float64"),
    "unit": "str",
    **dict.fromkeys(("share", "worst_s"), "float64"),
    "reason": "str",
}


def _row(v: _core.Verdict, rule: _core.Rule) -> tuple[Any, ...]:
    share = None if v.margin is None else v.margin / rule.scale
    return rule.set, rule.name, rule.clause, v.finding, v.when, v.margin, rule.unit, share, v.worst, v.reason


def collect(rules: Sequence[_core.Rule], cases: Sequence[Sequence[_core.Verdict] | None]) -> pd.DataFrame:
    """The verdicts of many cases as a table: one row a case and rule, none for a case that was not run.

    ``share`` is the margin as a share of the rule's limit.
    """
    import pandas as pd

    rows = [
        (number, *_row(verdict, rule))
        for number, verdicts in enumerate(cases)
        if verdicts is not None
        for verdict, rule in zip(verdicts, rules, strict=True)
    ]
    table = pd.DataFrame(rows, columns=list(_COLUMNS)).astype(_COLUMNS)
    return table.set_index("case")


def from_file(file: TomlFile) -> tuple[_core.Rule, ...]:
    """The rules a study names in ``rule_sets`` and writes in ``[[rules]]``."""
    chosen: list[_core.Rule] = []
    names = file.table.get("rule_sets", [])
    if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
        file.fail(("rule_sets",), "must be a list of texts", names if isinstance(names, str) else None)
    for name in dict.fromkeys(names):
        if name == LEARNED_RANGE:
            file.fail(
                ("rule_sets",), f"{name!r} is held against what was learned, by the design 'learning', always"
            )
        try:
            chosen += rules(None if name == "all" else name)
        except InputError as error:
            file.fail(("rule_sets",), f"{error}; or 'all'")
    entries = file.table.get("rules", [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        file.fail(("rules",), "must be tables ([[rules]])")
    chosen = list({rule.name: rule for rule in chosen}.values())  # "all" beside a set of it
    for i, entry in enumerate(entries):
        chosen.append(_from_table(file, ("rules", i), entry))
        if any(rule.name == entry["name"] for rule in chosen[:-1]):
            file.fail(("rules", i, "name"), "another rule has this name", entry["name"])
    return tuple(chosen)


def _from_table(file: TomlFile, place: Place, table: dict[str, Any]) -> _core.Rule:
    file.only(place, table, ["name", "applies", "requires", "limit", "unit", *_TEXTS])
    for key in ("name", "requires"):
        if key not in table:
            file.fail(place, f"the rule has no '{key}'")
    for key in table:
        if key != "limit" and not isinstance(table[key], str):
            file.fail((*place, key), "must be text", table[key])
    if not table["name"]:
        file.fail((*place, "name"), "a rule needs a name", "")
    for key in ("applies", "requires"):
        try:
            formula(table.get(key, "true"))
        except ValueError as error:
            file.fail((*place, key), str(error), table[key])
    try:
        return rule(**table, basis="the study's own")
    except ValueError as error:
        file.fail((*place, "limit"), str(error), table.get("limit"))
