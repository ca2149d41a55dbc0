# SPDX-License-Identifier: BSD-3-Clause
"""What follows when parameters scatter: probabilities, detection times, which parameters matter."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..pages.section import Bars, Cell, Lines, Part, Section, Table
from ..tolerances.describe import spreads
from . import statistics
from .sensitivity import CHANCE

#: Measures whose causes are looked for, and what they are called.
_MEASURES = {
    "unasked_opening": "largest uncommanded opening",
    "detected_after_s": "detection time",
    "error_rest": "position error at rest",
    "error_half": "position error at part travel",
    "error_full": "position error at full travel",
}


def percent(share: float) -> str:
    """A share for people: three digits."""
    return f"{100 * share:.3g} %"


def headline(result: Any) -> str:
    """The answer in a few sentences."""
    shares, found = result.shares(), result.detection()
    total = next(iter(shares.values())).total if shares else 0
    hits = sum(shares[word].hits for word in ("hazard", "late") if word in shares)
    hazard = statistics.share(hits, max(total, 1))
    text = [
        f"{hits} of {total:,} cases are a HAZARD: {percent(hazard.estimate)}, with 95 % confidence "
        f"{percent(hazard.low)} to {percent(hazard.high)}."
    ]
    if missed := shares.get("missed"):
        text.append(f"In {percent(missed.estimate)} the response is WRONG and no check detects it.")
    if found and found.seen.hits:
        text.append(
            f"{percent(found.seen.estimate)} of the faults are detected: median "
            f"{1000 * found.median:.0f} ms, 95 % within {1000 * found.p95:.0f} ms."
        )
    return " ".join(text)


def bars(result: Any) -> Bars:
    """Probability of each grade with its interval."""
    rows = [
        (word, s.estimate, s.low, s.high, f"{percent(s.estimate)} ({percent(s.low)} … {percent(s.high)})")
        for word, s in result.shares().items()
    ]
    return Bars(rows, "Share of the completed cases, with 95 % interval (Wilson)")


def sections(result: Any) -> list[Section]:
    """How often, how soon, what matters, the worst first."""
    parts: list[Part] = [bars(result), *_pairs(result)]
    found = [Section("Probability of each grade", parts)]
    if (detection := result.detection()) is not None:
        found.append(_detection(detection, result.detection_times()))
    found.append(Section("Sensitivity to parameters", _causes(result)))
    found.append(Section("Cases of highest severity", [_worst(result)]))
    rows = spreads(result.plan)
    found.append(Section("Scattered parameters", [Table(["parameter", "distribution"], rows)]))
    return found


def _pairs(result: Any) -> list[Part]:
    """The shares of each pair and learn state, when there are several; the worst first."""
    keys = ["pedal", "body", "learn", "learned_pedal", "learned_body", "learn_disturbance"]
    counts = result.counts([*keys, *statistics.NEEDED])
    if len(counts.drop_duplicates(keys)) < 2:
        return []
    rows = []
    for (pedal, body, learn, with_pedal, with_body, disturbed_learn), part in counts.groupby(
        keys, sort=False
    ):
        state = f"learned with {with_pedal} + {with_body}" if learn != "none" else "nothing learned"
        for word, s in statistics.shares(part).items():
            name = f"{pedal} + {body}, {state}{f': {disturbed_learn}' if disturbed_learn else ''}"
            rows.append(
                (name, Cell(word), s.hits, s.total, percent(s.estimate), percent(s.low), percent(s.high))
            )
    return [Table(["pair", "grade", "cases", "of", "probability", "95 % from", "to"], rows, "By pair")]


def _detection(found: statistics.Detection, times: np.ndarray) -> Section:
    seen = found.seen
    text = (
        f"Detected: {seen.hits} of {seen.total}, {percent(seen.estimate)} ({percent(seen.low)} … "
        f"{percent(seen.high)}). A fault may begin at an instant at which it has no effect."
    )
    if not len(times):
        return Section("Detection time", [text])
    text += (
        f" Median {1000 * found.median:.0f} ms, 95 % within {1000 * found.p95:.0f} ms, 99 % within "
        f"{1000 * found.p99:.0f} ms, longest {1000 * found.longest:.0f} ms."
    )
    shares = np.linspace(0.0, 1.0, 200)
    x = (1000 * np.quantile(times, shares)).round(2).tolist()
    curve = Lines(
        "Share of the detected faults that are detected within a time",
        *(x, {"share": (100 * shares).round(2).tolist()}, "detection time [ms]", "share [%]"),
    )
    return Section("Detection time", [text, curve])


def _causes(result: Any) -> list[Part]:
    """How much each parameter matters for each measure that varies."""
    found: list[Part] = [
        "PAWN: how far the distribution of the measure moves when the parameter is known; what is not "
        "clearly beyond the line cannot be distinguished from chance. S₁: the share of its variance that the "
        "parameter explains alone, for independent parameters."
    ]
    # the bars show no intervals of S₁, which would take most of the page's time
    for name, indices in result.sensitivity(list(_MEASURES), resamples=2).items():
        shown = indices.drop(index=CHANCE).head(12)
        rows = [
            (
                str(parameter),
                row["PAWN"],
                row["PAWN"],
                row["PAWN"],
                f"PAWN {row['PAWN']:.2f}, S₁ {row['S1']:.2f}",
            )
            for parameter, row in shown.iterrows()
        ]
        found.append(Bars(rows, f"For the {_MEASURES[name]}", float(indices.loc[CHANCE, "PAWN"])))
    return found if len(found) > 1 else ["Too few cases, or nothing scatters."]


def _worst(result: Any) -> Table:
    rows = [
        (
            int(number),
            Cell(row["grade"]),
            f"{row['pedal']} + {row['body']}",
            f"{percent(row['unasked_opening'])} for {1000 * row['unasked_time_s']:.0f} ms",
            percent(max(map(abs, row[["error_rest", "error_half", "error_full"]].fillna(0.0)))),
            row["codes"] or "none",
            row["reaction"],
            row["rules_failed"],
        )
        for number, row in result.worst().iterrows()
    ]
    head = ["case", "grade", "pair", "uncommanded", "off by", "trouble codes", "reaction", "rules failed"]
    return Table(head, rows)
