# SPDX-License-Identifier: BSD-3-Clause
"""A fault in words, with its amount."""

from __future__ import annotations

from .. import _core


def fault_text(fault: _core.Fault) -> str:
    """Such as "offset of throttle.track1, 0.12"; those of a wiring fault hold their amount."""
    for kind in _core.fault_catalogue():
        if (kind.where, kind.what) == (fault.where, fault.what) and kind.least < kind.most:
            amount = f"{fault.amount:g} {kind.unit}".rstrip().replace("-", "−")
            return f"{fault.text}, {amount}"
    return fault.text
