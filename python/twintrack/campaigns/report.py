# SPDX-License-Identifier: BSD-3-Clause
"""The page of a campaign: how often, how soon, which parameters matter, the worst cases first."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from .. import _core
from ..pages import page
from ..pages.matrix import LOOKS
from ..pages.words import CAUTIONS
from . import pictures, statistics
from .describe import spreads
from .results import Results

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

#: Outcomes whose causes are looked for, and what they are called.
_OUTPUTS = {
    "unasked_opening": "the largest opening that nobody asked for",
    "detected_after_s": "the time from the fault to the first trouble code",
    "error_rest": "how far off the blade is when the foot rests",
    "error_half": "how far off the blade is at part travel",
    "error_full": "how far off the blade is at full travel",
}


def percent(share: float) -> str:
    """A share for people: three digits."""
    return f"{100 * share:.3g} %"


def write_report(results: Results, path: Path, wanted: int | None = None) -> None:
    """Renders the page; the file appears when it is complete. ``wanted``: how many cases there should be."""
    text = page.render("campaigns/campaign.html.j2", _content(results, wanted or len(results)))
    unfinished = path.with_name(f".unfinished-{path.name}")
    unfinished.write_text(text, encoding="utf-8")
    os.replace(unfinished, path)


def headline(shares: dict[str, statistics.Share], found: statistics.Detection | None) -> str:
    """The answer in a few sentences."""
    total = next(iter(shares.values())).total if shares else 0
    unsafe = shares.get("unsafe") or statistics.share(0, max(total, 1))
    text = [
        f"{unsafe.hits} of {total:,} cases are UNSAFE: {percent(unsafe.estimate)}, with 95 % confidence "
        f"{percent(unsafe.low)} to {percent(unsafe.high)}."
    ]
    if unseen := shares.get("wrong, unseen"):
        text.append(f"In {percent(unseen.estimate)} the blade is WRONG and no check sees it.")
    if found and found.seen.hits:
        text.append(
            f"{percent(found.seen.estimate)} of the faults are seen, half of those within "
            f"{1000 * found.median:.0f} ms, 95 % within {1000 * found.p95:.0f} ms."
        )
    return " ".join(text)


def _content(results: Results, wanted: int) -> dict[str, Any]:
    plan = results.plan
    shares, found = results.shares(), results.detection()
    times = results.detection_times()
    status = results.counts(["status"]).set_index("status")["cases"]
    return {
        "title": plan.study.title,
        "headline": headline(shares, found),
        "finished": len(results),
        "wanted": wanted,
        "looks": LOOKS,
        "answers": pictures.ANSWERS,
        "shares": page.svg(pictures.shares_plot(shares)) if shares else "",
        "pairs": _pairs(results),
        "rules": _rules(results),
        "detection": found,
        "times": page.svg(pictures.detection_plot(_few(times))) if len(times) else "",
        "causes": _causes(results),
        "worst": _worst(results.worst()),
        "replays": _replays(results),
        "status": [(name, int(count)) for name, count in status.items() if name != "completed"],
        "spreads": spreads(plan),
        "about": _about(results),
        "percent": percent,
        "cautions": CAUTIONS,
    }


def _few(times: NDArray[np.float64], most: int = 1000) -> list[float]:
    """As many quantiles as a picture shows."""
    few = times if len(times) <= most else np.quantile(times, np.linspace(0.0, 1.0, most))
    return [float(time) for time in few]


def _pairs(results: Results) -> list[tuple[str, list[tuple[str, statistics.Share]]]]:
    """The shares of each pair and learn state, when there are several; the worst first."""
    keys = ["pedal", "body", "learn", "learned_pedal", "learned_body", "mistake"]
    counts = results.counts([*keys, *statistics.NEEDED])
    if len(counts.drop_duplicates(keys)) < 2:
        return []
    told = []
    for (pedal, body, learn, with_pedal, with_body, mistake), part in counts.groupby(keys, sort=False):
        name = f"{pedal} + {body}, {'nothing learned' if learn == 'none' else 'learned with them'}"
        if learn == "stale":
            name = f"{pedal} + {body}, learned with {with_pedal} + {with_body}"
        if mistake:
            name += f": {mistake}"
        told.append((name, list(statistics.shares(part).items())))
    order = list(statistics.VERDICTS)
    return sorted(
        told, key=lambda row: [-dict(row[1])[v].estimate if v in dict(row[1]) else 0.0 for v in order]
    )


def _rules(results: Results) -> list[tuple[_core.Rule, statistics.Share]]:
    columns = {rule: f"rule: {rule.name}" for rule in results.plan.study.rules}
    found = [(rule, statistics.rule_share(results.counts([c]), c)) for rule, c in columns.items()]
    return sorted(((rule, s) for rule, s in found if s), key=lambda row: -row[1].estimate)


def _causes(results: Results) -> list[dict[str, Any]]:
    """A picture of what matters for each outcome that varies."""
    return [
        {"words": _OUTPUTS[output], "svg": page.svg(pictures.sensitivity_plot(indices))}
        for output, indices in results.sensitivity(list(_OUTPUTS)).items()
    ]


def _worst(table: pd.DataFrame) -> list[dict[str, Any]]:
    return [
        {
            "case": number,
            "verdict": row["verdict"],
            "pair": f"{row['pedal']} + {row['body']}",
            "unasked": f"{percent(row['unasked_opening'])} for {1000 * row['unasked_time_s']:.0f} ms",
            "off": percent(max(map(abs, row[["error_rest", "error_half", "error_full"]].fillna(0.0)))),
            "codes": row["codes"] or "none",
            "rules": row["rules_failed"],
        }
        for number, row in table.iterrows()
    ]


def _replays(results: Results) -> list[dict[str, Any]]:
    """The worst case of each verdict, run again for its picture."""
    shown = []
    for number, verdict in results.worst_of_each().items():
        replay = results.replay(number)
        shown.append(
            {
                "case": number,
                "verdict": verdict,
                "sentence": replay.result.sentence,
                "same": not replay.differences,
                "png": page.png(replay.plot(), 110),
            }
        )
    return shown


def _about(results: Results) -> list[tuple[str, str]]:
    plan, study = results.plan, results.plan.study
    return [
        ("study file", str(study.path)),
        ("cases", f"{len(results):,}, dealt in turn to {len(plan.pairings)} pairs and learn states"),
        ("sampling", plan.sampling.method),
        ("seed", str(plan.seed)),
        ("faults", "; ".join(map(repr, study.faults)) or "none"),
        ("fingerprint of the study", plan.fingerprint()[:16]),
        ("twintrack", _core.__version__),
    ]
