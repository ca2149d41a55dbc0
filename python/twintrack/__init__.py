# SPDX-License-Identifier: BSD-3-Clause
"""twintrack: a bench for electronic throttle control, from the foot to the blade.

>>> import twintrack as tt
>>> bench = tt.Bench(pedal="…", body="…")      # names: tt.pedals(), tt.bodies()
>>> bench.learn().accepted
>>> bench.run(tt.Stroke.rest_half_full_rest()).plot()

All numbers are in SI units. Simulation is no proof of safety.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from . import _core
from ._core import *  # noqa: F403
from ._core import __version__

if TYPE_CHECKING:
    from .bench import Bench  # noqa: F401
    from .campaigns.api import campaign, campaign_results  # noqa: F401
    from .engine_parts import engine, engines  # noqa: F401
    from .errors import InputError  # noqa: F401
    from .learned import load_range, save_range  # noqa: F401
    from .parts import bodies, body, pedal, pedals  # noqa: F401
    from .rule_text import formula  # noqa: F401
    from .rulebook import evaluate, rule, rules  # noqa: F401
    from .units import quantity  # noqa: F401

#: Loaded at first use, so that importing the package stays quick.
_LAZY = {
    "Bench": "bench",
    "engine": "engine_parts",
    "engines": "engine_parts",
    "InputError": "errors",
    "load_range": "learned",
    "save_range": "learned",
    "bodies": "parts",
    "campaign": "campaigns.api",
    "campaign_results": "campaigns.api",
    "evaluate": "rulebook",
    "formula": "rule_text",
    "rule": "rulebook",
    "rules": "rulebook",
    "body": "parts",
    "pedal": "parts",
    "pedals": "parts",
    "quantity": "units",
}

__all__ = ["__version__", *_LAZY, *(name for name in dir(_core) if not name.startswith("_"))]


def __getattr__(name: str) -> Any:
    if name not in _LAZY:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f".{_LAZY[name]}", __name__), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *_LAZY})
