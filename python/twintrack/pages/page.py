# SPDX-License-Identifier: BSD-3-Clause
"""Self-contained HTML from the templates of this package, and figures to stand inside it."""

from __future__ import annotations

import base64
import io
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def render(template: str, content: dict[str, Any]) -> str:
    """The text of a template with its content; what is undefined raises."""
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.PackageLoader("twintrack", "."),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(template).render(content)


def svg(figure: Figure) -> str:
    """The figure as an ``<svg>`` element; the same figure gives the same text."""
    import matplotlib

    buffer = io.StringIO()
    with matplotlib.rc_context({"svg.hashsalt": "twintrack"}):
        figure.savefig(buffer, format="svg", metadata={"Date": None})
    text = buffer.getvalue()
    return text[text.index("<svg") :]


def png(figure: Figure, dpi: float = 130) -> str:
    """The figure as a PNG picture in base64."""
    buffer = io.BytesIO()
    figure.savefig(buffer, format="png", dpi=dpi)
    return base64.b64encode(buffer.getvalue()).decode("ascii")
