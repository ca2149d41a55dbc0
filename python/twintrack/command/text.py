# SPDX-License-Identifier: BSD-3-Clause
"""What the command line prints: tables, parts, faults."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..errors import InputError, closest, listing
from ..pages.text_table import text_table


def span(least: float, most: float, unit: str) -> str:
    return f"{least:g} … {most:g} {unit}".rstrip() if least < most else "none"


def describe(kind: str, part: Any) -> str:
    """The part as a part file, its terminals as comments at the end."""
    from ..parts.part_file import part_text

    terminals = [f"#   {connector} connector: {terminal}" for connector, terminal in part.terminals()]
    return part_text(kind, part) + "\n".join(["", "# Terminals:", *terminals])


def find_part(name: str) -> tuple[str, Any]:
    """Kind and parameters of a built-in part or a part file."""
    from ..parts.catalogue import bodies, load, pedals

    if name.endswith(".toml"):
        return load(name)
    found: dict[str, dict[str, Any]] = {"pedal": pedals(), "body": bodies()}
    for kind, named in found.items():
        if name in named:
            return kind, named[name]
    known = [*found["pedal"], *found["body"]]
    raise InputError(f"there is no part {name!r}{closest(name, known)} (there are: {listing(known)})")


def wiring_faults(names: tuple[str, ...]) -> str:
    """A part is listed as if the other one were any: the faults at its own terminals."""
    from .._core import PedalParameters, ThrottleBodyParameters, every_single_wiring_fault

    if len(names) > 2:
        raise InputError(f"one part, or a pedal and a throttle body; got {listing(names)}")
    pair: dict[str, Any] = {}
    for name in names:
        kind, part = find_part(name)
        if kind in pair:
            raise InputError(f"{name!r} is a second {kind}; a pair is a pedal and a throttle body")
        pair[kind] = part
    found = every_single_wiring_fault(
        pair.get("pedal") or PedalParameters(), pair.get("body") or ThrottleBodyParameters()
    )
    if len(pair) == 1:
        mine = ("pedal ",) if "pedal" in pair else ("throttle ", "motor ")
        found = [fault for fault in found if fault.where.startswith(mine)]
    units = {"ground_offset": "V", "regulator_offset": "V"}
    rows = [
        [f.where, f.what, f.other, f"{f.amount:g} {units.get(f.what, 'ohm')}" if f.amount else "", f.text]
        for f in found
    ]
    return text_table(["where", "what", "with", "amount", "in words"], rows) + f"\n\n{len(rows)} faults"


Names = tuple[str, ...]


def _one(what: str, names: Names) -> str | None:
    if len(names) > 1:
        raise InputError(f"one name of {what}, or none; got {listing(names)}")
    return names[0] if names else None


def parts(names: Names) -> str:
    """The built-in parts, or one of them as a part file to copy, edit and use."""
    from ..parts.catalogue import bodies, pedals

    if (name := _one("a part", names)) is not None:
        return describe(*find_part(name))
    found: dict[str, dict[str, Any]] = {"pedal": pedals(), "body": bodies()}
    rows = [
        [kind, part.name, part.arrangement, str(len(part.tracks)), str(part.supply), part.origin]
        for kind, named in found.items()
        for part in named.values()
    ]
    return text_table(["kind", "name", "arrangement", "tracks", "supply", "origin"], rows)


def faults(names: Names) -> str:
    """The faults a study can have: where, what, how much, and what it means."""
    from .._core import fault_catalogue, wiring_fault_kinds

    if names:
        return wiring_faults(names)
    rows = [
        [f.where, f.what, span(f.least, f.most, f.unit), f.meaning]
        for f in [*fault_catalogue(), *wiring_fault_kinds()]
    ]
    return text_table(["where", "what", "amount", "meaning"], rows)


def rules(names: Names) -> str:
    """The written rules with source and clause; or those of one set."""
    from ..rulebooks.rulebook import LEARNED_RANGE, by_set
    from ..rulebooks.rulebook import rules as built_in

    wanted = _one("a set", names)
    named = built_in(wanted) + (built_in(LEARNED_RANGE) if wanted is None else [])
    text = []
    for name, members in by_set(named).items():
        rows = [[f"  {rule.name}", rule.source, rule.clause, rule.sentence] for rule in members]
        text += [f"{name}\n", f"{text_table(['  rule', 'source', 'clause', 'what it asks'], rows)}\n"]
        text += [f"  numbers: {basis}" for basis in dict.fromkeys(rule.basis for rule in members)] + [""]
    return "\n".join(text)


def disturbances(names: Names) -> str:
    """What can go wrong during a range learn: place, amount, meaning."""
    from .._core import disturbance_catalogue

    if names:
        raise InputError("disturbances are listed all together; give no name")
    rows = [
        [k.name, ", ".join(k.places), span(k.least, k.most, k.unit), k.meaning]
        for k in disturbance_catalogue()
    ]
    return text_table(["disturbance", "where", "amount", "meaning"], rows)


def signals(names: Names) -> str:
    """The signals a rule may name, with their units."""
    from .._core import rule_signals

    if names:
        raise InputError("signals are listed all together; give no name")
    return text_table(["signal", "unit"], [[name, unit] for name, unit in rule_signals().items()])


def designs(names: Names) -> str:
    """The designs a study may have."""
    from ..designs import DESIGNS

    if names:
        raise InputError("designs are listed all together; give no name")
    rows = [[name, f"[{d.table}]" if d.table else "", summary(d)] for name, d in DESIGNS.items()]
    return text_table(["design", "table", "what varies"], rows)


def summary(design: Any) -> str:
    """The first sentence of its documentation."""
    return " ".join((design.__doc__ or "").split("\n\n")[0].split())


def described(plan: Any) -> str:
    """What a study is, in a line or two."""
    study, specs = plan.study, plan.specs
    states = dict.fromkeys(spec.pairing.learn for spec in specs)
    counts = ", ".join(f"{sum(s.pairing.learn == state for s in specs)} {state}" for state in states)
    text = (
        f"{study.title}: {plan.design.name}, {len(study.pedals)} pedals, "
        f"{len(study.bodies)} throttle bodies, {len(specs)} cases ({counts})"
    )
    if len(plan.design.changes) > 1:
        text += f"\n{len(plan.design.changes)} set-ups: {', '.join(plan.design.changes)}"
    if plan.tolerances:
        text += (
            f"\n{len(plan.tolerances)} parameters scatter; {plan.cases} cases unless --cases says otherwise"
        )
    return text


#: The lists of ``twintrack list`` by their name.
LISTS: dict[str, Callable[[Names], str]] = {
    "parts": parts,
    "faults": faults,
    "rules": rules,
    "disturbances": disturbances,
    "signals": signals,
    "designs": designs,
}
