# SPDX-License-Identifier: BSD-3-Clause
"""What notebooks show of a bench, a run, codes, a learned range, a study, a result: small pieces of HTML.

Colours are stated, so that they can be read on a dark page too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from typing import Any

from .. import _core
from ..cautions import CAUTION

_CARD = (
    "background:#fff;color:#1b2733;border:1px solid #d9dfe4;border-radius:8px;padding:10px 14px;"
    "max-width:1240px;font:14px/1.45 system-ui,'Segoe UI','DejaVu Sans',sans-serif"
)
_CELL = (
    "text-align:left;padding:3px 10px;border-bottom:1px solid #d9dfe4;background:#fff;color:#1b2733;"
    "white-space:nowrap"
)


def card(title: str, *parts: str) -> str:
    """A heading and pieces of HTML below it."""
    head = f'<div style="font-weight:700;font-size:15px;margin-bottom:4px">{escape(title)}</div>'
    return f'<div style="{_CARD}">{head}{"".join(parts)}</div>'


def text(words: str, soft: bool = False) -> str:
    """A paragraph."""
    colour = "#566370" if soft else "#1b2733"
    return f'<div style="color:{colour};margin:4px 0">{escape(words)}</div>'


def table(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """A table; every cell is written as text."""
    heads = "".join(f'<th style="{_CELL};font-weight:600">{escape(name)}</th>' for name in head)
    body = "".join(
        "<tr>" + "".join(f'<td style="{_CELL}">{escape(str(v))}</td>' for v in row) + "</tr>" for row in rows
    )
    return (
        '<div style="overflow-x:auto"><table style="border-collapse:collapse;font-size:13px">'
        f"<thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def caution() -> str:
    """The caution, in short."""
    return text(CAUTION, soft=True)


class Codes(list[_core.TroubleCode]):
    """Trouble codes in the order in which they were set; notebooks show a table."""

    def _repr_html_(self) -> str:
        return codes_table(self) if self else text("no trouble code")


def codes_table(codes: Sequence[_core.TroubleCode]) -> str:
    """When each was set [s since key-on], the code, what it means."""
    rows = [(f"{c.confirmed:.3f}", f"{c.code}-{c.failure_type}", c.meaning) for c in codes]
    return table(["set at [s]", "code", "meaning"], rows)


def trouble_code(code: _core.TroubleCode) -> str:
    """One code."""
    return codes_table([code])


def learned_range(learned: _core.LearnedRange) -> str:
    """The ends of each track, where it was learned, and the curves as a picture."""
    from .page import svg
    from .plot import learn_plot

    rows = [
        (f"{side}, track {i + 1}", f"{100 * t.start:.2f} %", f"{100 * t.end:.2f} %")
        for side, tracks in (("pedal", learned.pedal), ("throttle", learned.throttle))
        for i, t in enumerate(tracks)
    ]
    where = f"learn number {learned.count}, checksum {learned.checksum}"
    if learned.supply:
        where += f", at {learned.supply:.1f} V"
    return card(
        f"Learned range of {learned.pedal_name or 'a pedal'} with {learned.body_name or 'a body'}",
        table(["readings, share of full scale", "released or closed", "pressed or open"], rows),
        text(f"default position at {100 * learned.default_opening:.1f} % of travel; {where}", soft=True),
        f'<div style="max-width:820px">{svg(learn_plot(learned))}</div>',
    )


def study(plan: Any, solver: str, size: int) -> str:
    """What a study asks."""
    pairs = list(dict.fromkeys(f"{s.pairing.pedal} with {s.pairing.body}" for s in plan.specs))
    rows = [
        ("design", plan.design.name),
        ("cases", f"{size:,}"),
        ("solver", solver),
        ("scattered", ", ".join(t.parameter for t in plan.tolerances) or "nothing"),
        ("pairs", f"{len(pairs)}: {', '.join(pairs[:6])}{', …' if len(pairs) > 6 else ''}"),
    ]
    return card(plan.study.title, table(["study", ""], rows), caution())


def result(title: str, headline: str, cases: Any, count: int, folder: str) -> str:
    """The answer of a study, and its first ``cases`` as a data frame."""
    rows = [
        (number, *(_short(v) for v in row)) for number, row in zip(cases.index, cases.values, strict=True)
    ]
    return card(
        title,
        text(headline),
        table(["case", *cases.columns], rows),
        text(f"{count:,} cases in {folder}; the first {len(rows)} are shown.", soft=True),
        caution(),
    )


def _short(value: Any) -> str:
    if isinstance(value, float):
        return "" if value != value else f"{value:.4g}"
    words = str(value)
    return words if len(words) <= 40 else f"{words[:39]}…"
