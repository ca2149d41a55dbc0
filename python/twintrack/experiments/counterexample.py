# SPDX-License-Identifier: BSD-3-Clause
"""The smallest counterexample of a search: a study file of its own, and the trace of its run.

counterexample/study.toml, pedal.toml, body.toml     twintrack run repeats it to the bit (--solver exact)
counterexample/case-000000000.parquet, .png          its trace
counterexample/about.json                            its margin, where it comes from, what made it smaller
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, cast

from .. import _core
from ..cautions import CAUTION
from ..designs.pursuit import HAZARD, judged
from ..errors import InputError
from ..files import output, toml_text
from ..files.toml_file import TomlFile
from ..parts import catalogue
from ..parts.part_file import part_text
from ..rulebooks import margin as margins
from ..rulebooks.text import text_of
from ..studies.fault_text import fault_text
from ..tolerances.address import look_up
from ..tolerances.apply import OF_RUN
from ..tolerances.tolerance import Tolerance
from . import chunk, replay
from .learns import Learns
from .plan import Plan, load
from .shrink import Small, shrunk

FOLDER, STUDY, ABOUT = "counterexample", "study.toml", "about.json"

#: Cases of the search that are tried in the exact solver, the worst first.
_TRIED = 16


def path_of(folder: Path) -> Path | None:
    """The study file, if there is one."""
    path = folder / FOLDER / STUDY
    return path if path.exists() else None


def told(folder: Path) -> list[str] | None:
    """What it is, in paragraphs."""
    return _about_of(folder).get("told")


def _about_of(folder: Path) -> dict[str, Any]:
    try:
        found: dict[str, Any] = json.loads((folder / FOLDER / ABOUT).read_text(encoding="utf-8"))
    except OSError:
        return {}
    return found


def write(plan: Plan, folder: Path, threads: int) -> Path | None:
    """Shrinks the worst case and writes it, unless that is done or there is none."""
    from .result import Result

    design: Any = plan.design
    source = getattr(design, "source", None)
    if source is None:
        return None
    result = Result(folder, plan.study.units)
    if _about_of(folder).get("cases") == len(result):
        return path_of(folder)
    shutil.rmtree(folder / FOLDER, ignore_errors=True)
    table = result.to_pandas(["sought_margin", "excluded", *plan.names])
    worst = table[(table["excluded"] == "") & (table["sought_margin"] < 0)].nsmallest(_TRIED, "sought_margin")
    if not len(worst):
        return None
    maker = _Maker(plan, source, threads)
    for number in worst.index:
        start = maker.small(result.row(int(number)))
        if maker.broken([start])[0]:
            best, ran = shrunk(start, maker.broken)
            return _write(
                maker, folder / FOLDER, {"case": int(number), "cases": len(result)}, start, best, ran
            )
    least = margins.of_rule(float(worst["sought_margin"].min()), design.rule)
    text = [
        f"The lanes found margins down to {least}, and none of the {len(worst)} worst cases breaks the rule "
        "in the exact solver: the two differ by more than the margin. There is no counterexample."
    ]
    _about(folder / FOLDER, {"cases": len(result), "told": text})
    return None


class _Maker:
    """From a candidate to its study, and whether it breaks the rule in the exact solver."""

    def __init__(self, plan: Plan, source: Mapping[str, Any], threads: int) -> None:
        self.plan, self.source, self.threads = plan, source, threads
        self.design = cast(Any, plan.design)
        self.rule = self.design.rule
        self._learns: dict[str, Any] = {}

    def small(self, row: Mapping[str, Any]) -> Small:
        """The candidate that a row of the search was."""
        draw = {name: row[name] for name in self.plan.names}
        values = {name: v for name, v in draw.items() if not name.startswith(OF_RUN)}
        stroke = self.plan.design.stroke_drawn(draw)
        faults = self.plan.faults(int(row["case"]), draw)
        return Small(values, faults, tuple(stroke.time), tuple(stroke.travel))

    def table(self, small: Small) -> dict[str, Any]:
        """The table of a study file with this one case; pedal and body by the names of the search."""
        kept = ("pedals", "bodies", "learn", "bench", "brake", "hazard", "rule_sets", "rules", "scenario")
        table: dict[str, Any] = {"title": f"Counterexample to {self.rule.name!r}"}
        table |= {key: self.source[key] for key in kept if key in self.source}
        table["stroke"] = {"time": [f"{t!r} s" for t in small.time], "travel": list(small.travel)}
        if small.faults:
            table["faults"] = [_fault(fault) for fault in small.faults]
        ways = {t.parameter: t for t in self.plan.tolerances}
        fixed = {name: self._fixed(ways[name], v) for name, v in small.values.items()}
        if fixed:
            table["tolerances"] = fixed
        if self.rule.name == HAZARD:
            table["rules"] = [*table.get("rules", []), _rule(self.rule)]
        elif self.rule.name not in [rule.name for rule in self.plan.study.rules]:
            table["rule_sets"] = [*table.get("rule_sets", []), self.rule.set]
        return table

    def _fixed(self, one: Tolerance, value: Any) -> dict[str, Any]:
        """A tolerance that has one value, in the unit that files have for it."""
        unit = "" if one.way == "factor" else look_up(one.parameter, self.plan.study).unit
        unit = "K" if one.way == "offset" and unit == "degC" else unit
        shown = f"{value!r} {unit}" if unit and isinstance(value, float) else value
        found: dict[str, Any] = {"values": [shown]}
        if one.way != "value":
            found["as"] = one.way
        return found | ({"after_learn": True} if one.after_learn else {})

    def load(self, small: Small) -> Plan:
        path = self.plan.study.path
        return load(TomlFile(path, self.table(small)), "exact")

    def broken(self, some: Sequence[Small]) -> list[bool]:
        """Whether each breaks the rule, healthy before, in the exact solver."""
        return [margin is not None and margin < 0 for margin in self.margins(some)]

    def margins(self, some: Sequence[Small]) -> list[float | None]:
        """Margins as shares of the limit; ``None``: does not count."""
        cases, learned, kept = [], [], []
        for k, small in enumerate(some):
            try:
                plan = self.load(small)
                draw = plan.draws(0, 1)[0]
                cases.append(plan.case(0, draw))
                learned.append(self._learned(plan, draw))
                kept.append(k)
            except ValueError:  # not allowed as it is
                continue
        ran = _core.run_batch(
            cases,
            learned,
            solver="exact",
            rules=[self.rule],
            judges=[case.parameters for case in cases],
            threads=self.threads,
            **self.plan.study.own,
        )
        found: list[float | None] = [None] * len(some)
        for k, case, one in zip(kept, cases, ran, strict=True):
            if one.result is not None and one.result.outcome.status == "completed":
                margin, excluded = judged(self.design, case, one)
                found[k] = None if excluded else margin
        return found

    def _learned(self, plan: Plan, draw: Mapping[str, Any]) -> Any:
        """A learn depends on what is drawn only; each is made once."""
        key = repr(sorted(draw.items()))
        if key not in self._learns:
            self._learns[key] = Learns(plan).of([0], [draw])[0]
        learned = self._learns[key]
        if isinstance(learned, str):
            raise InputError(learned)
        return learned


def _fault(fault: _core.Fault) -> dict[str, Any]:
    kinds = {(k.where, k.what): k for k in _core.fault_catalogue()}
    wiring = {k.what: k for k in _core.wiring_fault_kinds()}
    kind = wiring.get(fault.what) or kinds[fault.where, fault.what]
    found: dict[str, Any] = {"where": fault.where, "what": fault.what}
    if fault.other:
        found["with"] = fault.other
    if kind.least < kind.most:
        found["amount"] = f"{fault.amount!r} {kind.unit}" if kind.unit else fault.amount
    times = {
        "from": fault.start,
        "to": fault.end,
        "ramp": fault.ramp,
        "every": fault.every,
        "lasting": fault.lasting,
    }
    return found | {key: f"{t!r} s" for key, t in times.items() if t or key == "from"}


def _rule(rule: _core.Rule) -> dict[str, Any]:
    limit = f"{rule.scale!r} {rule.unit}" if rule.unit else rule.scale
    texts = {key: getattr(rule, key) for key in ("source", "clause", "sentence") if getattr(rule, key)}
    return {
        "name": rule.name,
        "applies": text_of(rule.applies),
        "requires": text_of(rule.requires),
        "limit": limit,
        **({"unit": rule.unit} if rule.unit else {}),
        **texts,
    }


def _write(maker: _Maker, folder: Path, of: Mapping[str, int], start: Small, best: Small, ran: int) -> Path:
    """The study with its parts, and the trace."""
    output.make_folder(folder)
    table = maker.table(best)
    for key, kind in (("pedals", "pedal"), ("bodies", "body")):
        (part,) = getattr(maker.plan.study, key).values()
        built_in = catalogue.pedals() if kind == "pedal" else catalogue.bodies()
        if built_in.get(part.name) == part:
            table[key] = [part.name]
        else:
            table[key] = [f"{kind}.toml"]
            output.write(folder / f"{kind}.toml", part_text(kind, part).encode())
    made = toml_text.text(table)
    rule = maker.rule
    head = [
        "# SPDX-License-Identifier: BSD-3-Clause",
        f"# A counterexample to the rule {rule.name!r}, found by a search and made smaller. Run it again:",
        "#     twintrack run study.toml --solver exact --out results",
        f"# {CAUTION}",
    ]
    output.write(folder / STUDY, ("\n".join(head) + "\n\n" + made).encode())
    plan = load(folder / STUDY, "exact")
    draw = plan.draws(0, 1)[0]
    (row,) = chunk.Runner(plan).rows([0], [draw])
    one = replay.Replay(plan, 0, {**row, **draw})
    replay.write(one, folder)
    margin = float(row[f"margin: {rule.name}"])
    knots = zip(best.time, best.travel, strict=True)
    text = [
        f"Case {of['case']} of the search, made smaller in the exact solver in {ran} further runs: from "
        f"{_size(start)} to {_size(best)}. Margin {margins.of_rule(margin, rule)}.",
        *(f"{fault_text(fault)}, from {fault.start:g} s" + (f", ramp {fault.ramp:g} s" if fault.ramp else "")
          for fault in best.faults),
        "Stroke: " + ", ".join(f"{t:g} s {100 * y:g} %" for t, y in knots) + ".",
        one.result.sentence,
        f"It is a study of its own: {FOLDER}/{STUDY}; its trace is {FOLDER}/case-000000000.png.",
    ]  # fmt: skip
    _about(
        folder,
        {"rule": rule.name, "margin": margin, **of, "runs": ran, "size": best.size, "told": text},
    )
    return folder / STUDY


def _size(small: Small) -> str:
    faults, knots, values, duration = small.size
    counts = ((faults, "fault"), (knots, "knot"), (values, "drawn value"))
    named = ", ".join(f"{n} {name}{'s' * (n != 1)}" for n, name in counts)
    return f"{named} and {duration:g} s"


def _about(folder: Path, about: Mapping[str, Any]) -> None:
    output.make_folder(folder)
    output.write(folder / ABOUT, json.dumps(about, indent=1, ensure_ascii=False).encode())
