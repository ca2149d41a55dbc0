# SPDX-License-Identifier: BSD-3-Clause
"""One self-contained HTML page from sections, and figures to stand inside it."""

from __future__ import annotations

import io
import itertools
import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..cautions import CAUTION, CAUTIONS
from .section import Lines, Part, Section
from .severity import DETECTIONS, GRADES, LOOKS, RESPONSES

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_HERE = Path(__file__).parent


def report(
    title: str, headline: str, warnings: Sequence[str], sections: Sequence[Section], about: Sequence[Any]
) -> str:
    """The page; curves are drawn by uPlot, which stands inside it, so nothing is fetched."""
    words = dict.fromkeys([*GRADES, *RESPONSES, *DETECTIONS])
    return rendered(
        "report.html.j2",
        title=title,
        headline=headline,
        warnings=warnings,
        sections=sections,
        about=about,
        caution=CAUTION,
        cautions=CAUTIONS,
        looks=LOOKS,
        order={word: k for k, word in enumerate(words)},
        groups=_groups,
        column_groups=_column_groups,
        **_scripts(),
    )


def zoom(title: str, charts: Sequence[Lines]) -> str:
    """A page of curves only, one below the other, for a frame in a notebook; zooming one zooms all."""
    return rendered("zoom.html.j2", title=title, charts=charts, **_scripts())


def rendered(template: str, **values: Any) -> str:
    """A template of this folder, filled in."""
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(_HERE),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(template).render(**values)


def _scripts() -> dict[str, Any]:
    return {
        "json": _json,
        "css": uplot()[0] + (_HERE / "report.css").read_text(),
        "uplot": uplot()[1],
        "js": (_HERE / "report.js").read_text(),
    }


def uplot() -> tuple[str, str, str]:
    """Style, script and licence of the library that draws curves, to stand inside a page."""
    names = ("uPlot.min.css", "uPlot.iife.min.js", "LICENSE")
    style, script, licence = ((_HERE / "uplot" / name).read_text(encoding="utf-8") for name in names)
    return style, script, licence


def _groups(parts: Sequence[Part]) -> Iterator[tuple[str, list[Part]]]:
    """Parts of one kind that follow each other."""
    for kind, same in itertools.groupby(parts, lambda part: type(part).__name__):
        yield kind, list(same)


def _column_groups(columns: Sequence[str]) -> list[tuple[str, int]]:
    """Heads above columns that are named "group|name", and how many each spans."""
    heads = itertools.groupby(column.partition("|")[0] for column in columns)
    return [(head, len(list(same))) for head, same in heads]


def _json(lines: Lines) -> str:
    """Data of a chart, safe inside a script element."""
    return json.dumps(asdict(lines), allow_nan=True).replace("NaN", "null").replace("<", "\\u003c")


def svg(figure: Figure) -> str:
    """The figure as an ``<svg>`` element; the same figure gives the same text."""
    import matplotlib

    buffer = io.StringIO()
    with matplotlib.rc_context({"svg.hashsalt": "twintrack"}):
        figure.savefig(buffer, format="svg", metadata={"Date": None})
    text = buffer.getvalue()
    return text[text.index("<svg") :]
