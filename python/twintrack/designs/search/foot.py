# SPDX-License-Identifier: BSD-3-Clause
"""A stroke whose knots are searched, within what a foot can do: the table ``[search.foot]``.

[search.foot]
knots = 4                       # left out: the study's own stroke, held to the limit
from = "1 s"                    # the pedal rests before
to = "8 s"                      # and stays where it is after the last knot
end = "10 s"                    # of the run
fastest = "10 1/s"              # shares of travel a second
source = "…"                    # where the limit comes from

The limit, where the file gives none: the whole travel in 0.1 s, half of the about 0.2 s that a foot takes
from the accelerator to the brake (R. Nilsson, Combined accelerator-brake pedal: a promising solution, ICTTP
2000, abstract read); that half is our own. Faster than that is taken as no human movement. A knot that would
need more is moved to what the foot reaches.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ... import _core
from ...errors import InputError
from ...files.toml_file import TomlFile
from ...studies.study import Study
from ...tolerances.distribution import Uniform
from ...tolerances.tolerance import Tolerance
from ...units import quantity

#: Shares of travel a second, and what it rests on.
FASTEST = 10.0
SOURCE = "half the time from accelerator to brake, about 0.2 s (Nilsson, ICTTP 2000, abstract)"

#: Most knots.
MOST = 20

#: Knots nearer than this [s] are one.
_NEAR = 0.01


@dataclass(frozen=True)
class Foot:
    """Times [s], limit [1/s]; no ``knots``: only the limit."""

    knots: int = 0
    start: float = 1.0
    to: float = 8.0
    end: float = 10.0
    fastest: float = FASTEST
    source: str = SOURCE

    def tolerances(self) -> list[Tolerance]:
        """What is drawn for the knots; times need no order."""
        found = []
        for k in range(1, self.knots + 1):
            found.append(Tolerance(f"foot[{k}].time", Uniform(self.start, self.to)))
            found.append(Tolerance(f"foot[{k}].travel", Uniform(0.0, 1.0)))
        return found

    def stroke(self, draw: Mapping[str, Any]) -> _core.Stroke:
        """The movement: knots in the order of their times, none faster than the limit."""
        drawn = sorted(
            (draw.get(f"foot[{k}].time", self.start + (self.to - self.start) * k / (self.knots + 1)),
             draw.get(f"foot[{k}].travel", 0.5))
            for k in range(1, self.knots + 1)
        )  # fmt: skip
        time, travel = [0.0, self.start], [0.0, 0.0]
        for when, wanted in drawn:
            if when < time[-1] + _NEAR:
                continue
            reach = self.fastest * (when - time[-1])
            travel.append(min(max(wanted, travel[-1] - reach), travel[-1] + reach))
            time.append(when)
        time.append(self.end)
        travel.append(travel[-1])
        return _core.Stroke(time=time, travel=travel)


def too_fast(stroke: _core.Stroke, fastest: float) -> str:
    """Where a movement is faster than the limit; empty: nowhere."""
    t, y = stroke.time, stroke.travel
    for i in range(1, len(t)):
        rate = abs(y[i] - y[i - 1]) / (t[i] - t[i - 1]) if t[i] > t[i - 1] else float("inf")
        if rate > fastest * (1 + 1e-9):
            return f"from {t[i - 1]:g} s to {t[i]:g} s the pedal moves {rate:g} of its travel a second"
    return ""


def read(file: TomlFile, study: Study) -> Foot | None:
    """The table ``[search.foot]``, if there is one."""
    table = file.table["search"].get("foot")
    place = ("search", "foot")
    if table is None:
        return None
    if not isinstance(table, dict):
        file.fail(place, "must be a table ([search.foot])", table)
    file.only(place, table, ["knots", "from", "to", "end", "fastest", "source"])
    knots = table.get("knots", 0)
    if type(knots) is not int or not 0 <= knots <= MOST:
        file.fail((*place, "knots"), f"must be a whole number from 0 to {MOST}", knots)
    found: dict[str, Any] = {}
    for key, name, unit in (
        *(("from", "start", "s"), ("to", "to", "s"), ("end", "end", "s")),
        ("fastest", "fastest", "1/s"),
    ):
        if key in table:
            try:
                found[name] = quantity(table[key], unit)
            except InputError as error:
                file.fail((*place, key), str(error), table[key])
    foot = Foot(knots=knots, **found)
    if not 0.0 <= foot.start < foot.to <= foot.end <= 3600.0:
        file.fail(
            place, f"needs 0 ≤ from < to ≤ end ≤ 3600 s; got {foot.start:g}, {foot.to:g}, {foot.end:g} s"
        )
    if not foot.fastest > 0.0:
        file.fail((*place, "fastest"), "must be above 0", table["fastest"])
    source = table.get("source", "" if "fastest" in table else SOURCE)
    if not isinstance(source, str) or not source:
        file.fail(place, "'fastest' needs a 'source': where the limit of the foot comes from")
    if knots and "stroke" in file.table:
        file.fail((*place, "knots"), "contradicts 'stroke': the knots are the stroke; leave one of them out")
    if not knots and (told := too_fast(study.stroke, foot.fastest)):
        file.fail(place, f"the study's stroke contradicts the limit of {foot.fastest:g} 1/s: {told}")
    return Foot(knots, foot.start, foot.to, foot.end, foot.fastest, source)
