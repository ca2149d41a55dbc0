# SPDX-License-Identifier: BSD-3-Clause
"""The lab page as one HTML text: template, style, scripts, the core and the contents."""

from __future__ import annotations

import base64
import gzip
import importlib.resources
import json
from pathlib import Path
from typing import Any

from ..cautions import CAUTION, CAUTIONS
from ..errors import InputError
from ..pages.page import uplot

#: The core as WebAssembly, and the lanes with SIMD, where they were built (README.md of this folder).
CORE, LANES = "lab_core.wasm", "lab_lanes.wasm"

#: What runs on the page itself; core.js and bench.js run in its worker.
SCRIPTS = ("link.js", "charts.js", "drawing.js", "controls.js", "picture.js", "scatter.js", "lab.js")

_PAGE = Path(__file__).parent / "page"

MISSING = (
    "this installation has no WebAssembly core: install emscripten (on Debian: apt-get install emscripten) "
    "and install twintrack again from its source"
)


def core(name: str = "") -> bytes:
    """A WebAssembly module, the core unless another is named.

    Raises :class:`InputError`, with how to get it, where it was not built.
    """
    file = importlib.resources.files(__package__) / (name or CORE)
    if not file.is_file():
        raise InputError(MISSING)
    return file.read_bytes()


def page(contents: dict[str, Any]) -> str:
    """The page, which fetches nothing. Raises :class:`InputError` without the core."""
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(_PAGE),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    uplot_css, uplot_js, uplot_licence = uplot()
    return environment.get_template("lab.html.j2").render(
        title=contents["title"],
        caution=CAUTION,
        cautions=CAUTIONS,
        licence=uplot_licence,
        css=uplot_css + _text("lab.css"),
        uplot=uplot_js,
        core_js=_text("core.js"),
        bench_js=_text("bench.js"),
        scripts=[_text(name) for name in SCRIPTS],
        scattered=len(contents["scatter"][0]["values"]),
        contents=json.dumps(contents, allow_nan=False).replace("<", "\\u003c"),
        core=_packed(core()),
        lanes=_packed(core(LANES)),
    )


def _packed(module: bytes) -> str:
    return base64.b64encode(gzip.compress(module, 9, mtime=0)).decode("ascii")


def _text(name: str) -> str:
    return (_PAGE / name).read_text(encoding="utf-8")
