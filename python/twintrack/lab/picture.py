# SPDX-License-Identifier: BSD-3-Clause
"""The block picture for the lab page, which writes newer values into it.

The picture is that of the first pair; of each other part there are the two blocks in which it stands.
"""

from __future__ import annotations

import dataclasses
import re
from typing import Any

from .. import _core
from ..notebook.diagram import diagram, written_signals
from ..pages.block_picture import draw

#: Blocks in which a pedal and a throttle body stand.
OF_PEDAL, OF_BODY = ("pedal", "pedal wiring"), ("throttle", "throttle wiring")


def drawn(bench: _core.BenchParameters) -> str:
    """The picture of a bench as an ``<svg>`` element, with a place for each value."""
    run = _core.run(bench, _core.Stroke.rest(0.01))
    shown = diagram(bench, None, _Seen(run.record)).picture
    return draw(dataclasses.replace(shown, note=""))


class _Seen:
    """A run without codes and faults."""

    def __init__(self, record: _core.Record) -> None:
        self.record, self.codes, self.faults = record, (), ()


def blocks(svg: str, names: tuple[str, ...]) -> dict[str, str]:
    """Blocks of a picture as ``<g>`` elements, by name."""
    return {name: _group(svg, name) for name in names}


def _group(svg: str, name: str) -> str:
    found = re.search(rf'<g data-block="{name}".*?\n</g>', svg, re.DOTALL)
    assert found is not None
    return found.group(0)


def formats() -> dict[str, list[Any]]:
    """Unit, digits and factor of each signal."""
    return {name: list(how) for name, how in written_signals().items()}
