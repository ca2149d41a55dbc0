# SPDX-License-Identifier: BSD-3-Clause
"""One page and one picture from the maps of an idle."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from .. import _core
from ..pages import page
from ..pages.words import CAUTIONS
from ..units import show
from . import plot as idle_plot
from .plot import FINDINGS, Curve, Field, MishapRow, Word
from .study import ASSEMBLIES, MISHAPS, STRICTNESS, STROKE, IdleMaps, bench
from .table import LOOKS, MEANING

if TYPE_CHECKING:
    import pandas as pd

_TITLES = {
    "throttle": "Throttle tracks that do not match the learn",
    "pedal": "Pedal tracks that do not match",
}
_CHECKS = {"default": "Learn with its usual checks", "careless": "Learn that checks carelessly"}


def write(maps: IdleMaps, folder: Path) -> None:
    """``idle.html``, and the maps of the first pair as ``idle.png`` and ``idle_mishaps.png``."""
    sections = [_section(maps, *pair) for pair in _pairs(maps)]
    for name, key in (("idle.png", "mismatch_figure"), ("idle_mishaps.png", "mishap_figure")):
        for section in sections[:1]:
            section[key].savefig(folder / name, dpi=110)
    content = {
        "title": maps.source.study.title,
        "looks": {f"idle-{name}": look for name, look in LOOKS.items() if name},
        "idle_looks": LOOKS,
        "meaning": MEANING,
        "interrupted": maps.interrupted,
        "sections": [_drawn(section) for section in sections],
        "press": f"{STROKE.time[1]:g}",
        "end": f"{STROKE.time[-1]:g}",
        "mismatch": f"{100 * maps.source.mismatch:g}",
        "cautions": CAUTIONS,
        "version": _core.__version__,
    }
    (folder / "idle.html").write_text(page.render("idle/idle.html.j2", content), encoding="utf-8")


def headline(maps: IdleMaps) -> str:
    """What the maps say of each pair."""
    return " ".join(
        f"{pedal} with {body}: {' '.join(_sentences(maps, pedal, body))}" for pedal, body in _pairs(maps)
    )


def _drawn(section: dict[str, Any]) -> dict[str, Any]:
    drawn = {"mismatch": page.svg(section["mismatch_figure"]), "mishaps": page.svg(section["mishap_figure"])}
    return drawn | {key: value for key, value in section.items() if not key.endswith("figure")}


def _pairs(maps: IdleMaps) -> list[tuple[str, str]]:
    if not len(maps.mismatch):
        return []
    return list(maps.mismatch[["pedal", "body"]].drop_duplicates().itertuples(index=False, name=None))


def _of(table: pd.DataFrame, pedal: str, body: str) -> pd.DataFrame:
    return table[(table["pedal"] == pedal) & (table["body"] == body)] if len(table) else table


def _section(maps: IdleMaps, pedal: str, body: str) -> dict[str, Any]:
    mismatch, mishaps = _of(maps.mismatch, pedal, body), _of(maps.mishaps, pedal, body)
    fields = [_field(maps, mismatch, assembly) for assembly in ASSEMBLIES]
    parameters = bench(maps.source, pedal, body)
    healthy = mismatch[(mismatch[["track1", "track2", "track3"]] == 0.0).all(axis=1)]
    goal = float((healthy["idle_rpm"] - healthy["idle_deviation_rpm"]).iloc[0]) if len(healthy) else 0.0
    return {
        "pair": f"{pedal} with {body}, engine {getattr(parameters.engine, 'name', 'none')}",
        "sentences": _sentences(maps, pedal, body),
        "mismatch_figure": idle_plot.mismatch_maps(
            fields, list(_curves(mismatch)), (goal - 100.0, goal + 200.0)
        ),
        "mishap_figure": idle_plot.mishap_map(
            {_CHECKS[s]: _mishap_rows(mishaps, s) for s in STRICTNESS}, maps.source.severities
        ),
        "refused": _refused(mishaps),
    }


def _field(maps: IdleMaps, table: pd.DataFrame, assembly: str) -> Field:
    offsets = maps.source.offsets
    finding = np.full((len(offsets), len(offsets)), -1)
    speed = np.full(finding.shape, np.nan)
    rows = table[(table["assembly"] == assembly) & (table["track3"] == 0.0)]
    place = {offset: k for k, offset in enumerate(offsets)}
    for x, y, found, rpm in rows[["track1", "track2", "idle_finding", "idle_rpm"]].itertuples(index=False):
        finding[place[y], place[x]] = FINDINGS.index(found)
        speed[place[y], place[x]] = rpm
    axis = [100.0 * offset for offset in offsets]
    return Field(_TITLES[assembly], axis, finding, speed, list(words(finding, axis)))


def words(finding: np.ndarray, axis: list[float]) -> Iterator[Word]:
    """One word for each region of some size, at the field that is farthest from its border."""
    for name, cells in _regions(finding):
        if len(cells) < 0.03 * finding.size:
            continue
        inside = np.array(cells)
        outside = np.ones(np.add(finding.shape, 2), dtype=bool)  # with a frame around the map
        outside[inside[:, 0] + 1, inside[:, 1] + 1] = False
        gap = (inside[:, None, :] + 1 - np.argwhere(outside)[None, :, :]) * np.array(
            [1.0, 0.35]
        )  # words are wide
        best = inside[np.argmax((gap**2).sum(axis=2).min(axis=1))]
        yield Word(axis[best[1]], axis[best[0]], name)


def _regions(finding: np.ndarray) -> Iterator[tuple[str, list[tuple[int, int]]]]:
    """Connected fields of one finding."""
    left = {(int(y), int(x)) for y, x in np.argwhere(finding >= 0)}
    while left:
        first = min(left)
        left.discard(first)
        region, edge = [first], [first]
        while edge:
            y, x = edge.pop()
            for near in ((y + 1, x), (y - 1, x), (y, x + 1), (y, x - 1)):
                if near in left and finding[near] == finding[first]:
                    left.discard(near)
                    region.append(near)
                    edge.append(near)
        yield FINDINGS[finding[first]], region


def _alone(table: pd.DataFrame, assembly: str, track: int) -> pd.DataFrame:
    """The rows in which no other track is off, by mismatch."""
    others = [f"track{k}" for k in (1, 2, 3) if k != track]
    rows = table[(table["assembly"] == assembly) & (table[others] == 0.0).all(axis=1)]
    return rows.sort_values(f"track{track}")


def _curves(table: pd.DataFrame) -> Iterator[Curve]:
    for assembly in ASSEMBLIES:
        for track in (1, 2, 3):
            rows = _alone(table, assembly, track)
            if len(rows) > 1:
                mismatch = (100.0 * rows[f"track{track}"]).tolist()
                yield Curve(
                    f"{assembly} track {track}",
                    mismatch,
                    rows["idle_rpm"].tolist(),
                    rows["idle_finding"].tolist(),
                )


def _sentences(maps: IdleMaps, pedal: str, body: str) -> list[str]:
    """What the runs say, in words."""
    table = _of(maps.mismatch, pedal, body)
    told = [_grid_sentence(table[table["assembly"] == assembly], assembly) for assembly in ASSEMBLIES]
    mishaps = _of(maps.mishaps, pedal, body)
    for strictness in STRICTNESS if len(mishaps) else ():
        rows = mishaps[mishaps["strictness"] == strictness]
        counts = rows["idle_finding"].value_counts()
        parts = [f"{counts.get(name, 0)} × {LOOKS[name].word}" for name in MEANING if counts.get(name, 0)]
        told.append(
            f"Of {len(rows)} learns in which something went wrong ({strictness} checks): {', '.join(parts)}."
        )
    return told


def _grid_sentence(table: pd.DataFrame, assembly: str) -> str:
    counts = table["idle_finding"].value_counts()
    silent = table[table["idle_finding"].isin(["wrong", "dangerous"]) & (table["codes"] == "")]
    seen, wrong, bad = (int(counts.get(name, 0)) for name in ("noticed", "wrong", "dangerous"))
    text = f"Of {len(table)} mismatches of the {assembly}'s tracks the controller notices {seen}; "
    text += f"{wrong} idle wrong unnoticed and {bad} are dangerous"
    if len(silent):
        worst = silent.sort_values("idle_rpm", ascending=False, kind="stable").iloc[0]
        off = f"{100 * worst['track1']:+.0f} and {100 * worst['track2']:+.0f} %".replace("-", "−")
        stalls = worst["idle_rpm"] < 1.0
        how = "all" if stalls else "the fastest"
        does = "stall, one of them" if stalls else f"idles at {worst['idle_rpm']:.0f} rpm,"
        text += f"; {how} that nobody reports {does} with the tracks off by {off}"
    return text + "."


def _mishap_rows(table: pd.DataFrame, strictness: str) -> list[MishapRow]:
    units = {kind.name: kind.unit for kind in _core.mishap_catalogue()}
    rows = []
    for name, where, _ in MISHAPS:
        there = table[
            (table["strictness"] == strictness) & (table["mishap"] == name) & (table["where"] == where)
        ]
        cells = [
            (row["idle_finding"], _cell(row, units[name]))
            for _, row in there.sort_values("degree").iterrows()
        ]
        rows.append(MishapRow(f"{name.replace('_', ' ')}{f', {where}' if where else ''}", cells))
    return rows


def _cell(row: Any, unit: str) -> str:
    amount = "" if row["amount"] is None or np.isnan(row["amount"]) else show(row["amount"], unit)
    learn = "" if row["learn_accepted"] else "refused, "
    return f"{amount}\n{learn}{row['idle_rpm']:.0f} rpm".strip()


def _refused(table: pd.DataFrame) -> list[tuple[str, str, str]]:
    """Mishap, checks and reason, each reason once."""
    refused = table[~table["learn_accepted"].astype(bool)] if len(table) else table
    rows = refused.drop_duplicates(["strictness", "mishap", "where"]) if len(refused) else refused
    return [
        (f"{r['mishap'].replace('_', ' ')} {r['where']}".strip(), r["strictness"], r["learn_reason"])
        for _, r in rows.iterrows()
    ]
