# SPDX-License-Identifier: BSD-3-Clause
"""Named monitor set-ups, to be compared side by side.

Every number here is this bench's own, except those of the default (page of the folder ``monitor``).
"""

from __future__ import annotations

from . import _core
from .errors import InputError, closest, listing

#: What each set-up stands for.
MEANING = {
    "strict": "narrow and quick: 6 % between tracks for 50 ms, 8 % off the set point for 300 ms",
    "default": "the study's own monitor ([bench.monitor]); where it says nothing, the built-in thresholds",
    "careless": "each track alone, 1 … 99 % of the supply for 1 s; 30 % off the set point for 3 s",
    "none": "no check at all: what the fault does when nobody looks",
}


def _strict() -> _core.MonitorParameters:
    return _core.MonitorParameters(
        band_low=0.05,
        band_high=0.95,
        correlation_limit=0.06,
        deviation_limit=0.08,
        range=_core.CheckParameters(confirm_time=0.05),
        correlation=_core.CheckParameters(confirm_time=0.05),
        deviation=_core.CheckParameters(confirm_time=0.3),
    )


def _careless() -> _core.MonitorParameters:
    return _core.MonitorParameters(
        band_low=0.01,
        band_high=0.99,
        deviation_limit=0.3,
        range=_core.CheckParameters(confirm_time=1.0),
        correlation=_core.CheckParameters(enabled=False),
        deviation=_core.CheckParameters(confirm_time=3.0),
    )


def _none() -> _core.MonitorParameters:
    off = _core.CheckParameters(enabled=False)
    return _core.MonitorParameters(range=off, correlation=off, deviation=off)


_MAKERS = {"strict": _strict, "default": _core.MonitorParameters, "careless": _careless, "none": _none}


def setup(name: str) -> _core.MonitorParameters:
    """The monitor of a named set-up. Raises :class:`InputError` listing those there are."""
    if name not in _MAKERS:
        raise InputError(
            f"there is no set-up {name!r}{closest(name, _MAKERS)} (there are: {listing(_MAKERS)})"
        )
    return _MAKERS[name]()
