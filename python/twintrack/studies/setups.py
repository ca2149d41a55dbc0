# SPDX-License-Identifier: BSD-3-Clause
"""Named monitor set-ups, to be compared side by side.

Every number here is this bench's own, except those of the default (page of the folder ``monitor``).
"""

from __future__ import annotations

from .. import _core
from ..errors import InputError, closest, listing

#: What each set-up stands for.
MEANING = {
    "strict": "narrow and quick: 6 % between tracks for 50 ms, 8 % off the set point for 300 ms; all checks, "
    "a function monitor and the independent device",
    "default": "the study's own monitor ([bench.monitor]); where it says nothing, the built-in thresholds",
    "graded": "the built-in thresholds, milder reactions first: a pedal goes on limited with one track",
    "careless": "each track alone, 1 … 99 % of the supply for 1 s; 30 % off the set point for 3 s",
    "none": "no check: the effect of the fault without a monitor",
}

_MAKERS = {
    "strict": _core.monitor_strict,
    "default": _core.MonitorParameters,
    "graded": _core.monitor_graded,
    "careless": _core.monitor_careless,
    "none": _core.monitor_unwatched,
}


def setup(name: str) -> _core.MonitorParameters:
    """The monitor of a named set-up. Raises :class:`InputError` listing those there are."""
    if name not in _MAKERS:
        raise InputError(
            f"there is no set-up {name!r}{closest(name, _MAKERS)} (there are: {listing(_MAKERS)})"
        )
    return _MAKERS[name]()
