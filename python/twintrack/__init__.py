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
    from . import lessons, linear  # noqa: F401
    from .bench import Bench  # noqa: F401
    from .diagnosis.explain import explain  # noqa: F401
    from .diagnosis.start import diagnose  # noqa: F401
    from .errors import InputError  # noqa: F401
    from .experiments.result import Result  # noqa: F401
    from .experiments.study import Study  # noqa: F401
    from .files.learned import load_range, save_range  # noqa: F401
    from .fmu.export import export_fmu  # noqa: F401
    from .headers import include_dir  # noqa: F401
    from .parts.catalogue import bodies, body, pedal, pedals  # noqa: F401
    from .parts.engines import engine, engines  # noqa: F401
    from .roles import LearnAnswer, MonitorAnswer  # noqa: F401
    from .rulebooks.rulebook import evaluate, rule, rules  # noqa: F401
    from .rulebooks.text import formula  # noqa: F401
    from .studies.fmu_controller import FmuController  # noqa: F401
    from .testing.replay import replay  # noqa: F401
    from .tuning.tune import tune  # noqa: F401
    from .units import quantity  # noqa: F401

#: Loaded at first use, so that importing the package stays quick.
_LAZY = {
    "Bench": "bench",
    "diagnose": "diagnosis.start",
    "explain": "diagnosis.explain",
    "export_fmu": "fmu.export",
    "FmuController": "studies.fmu_controller",
    "engine": "parts.engines",
    "engines": "parts.engines",
    "InputError": "errors",
    "include_dir": "headers",
    "LearnAnswer": "roles",
    "MonitorAnswer": "roles",
    "Result": "experiments.result",
    "Study": "experiments.study",
    "load_range": "files.learned",
    "save_range": "files.learned",
    "bodies": "parts.catalogue",
    "evaluate": "rulebooks.rulebook",
    "formula": "rulebooks.text",
    "rule": "rulebooks.rulebook",
    "rules": "rulebooks.rulebook",
    "tune": "tuning.tune",
    "body": "parts.catalogue",
    "pedal": "parts.catalogue",
    "pedals": "parts.catalogue",
    "quantity": "units",
    "replay": "testing.replay",
}

#: Subpackages that are loaded when they are named.
_SUBPACKAGES = ("lessons", "linear")

__all__ = ["__version__", *_LAZY, *_SUBPACKAGES, *(name for name in dir(_core) if not name.startswith("_"))]


def __getattr__(name: str) -> Any:
    if name in _SUBPACKAGES:
        return importlib.import_module(f".{name}", __name__)
    if name not in _LAZY:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f".{_LAZY[name]}", __name__), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *_LAZY, *_SUBPACKAGES})
