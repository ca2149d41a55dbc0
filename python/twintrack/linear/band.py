# SPDX-License-Identifier: BSD-3-Clause
"""What tolerances make of a frequency response, and of margins and poles."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..errors import InputError
from ..tolerances.sampling import points
from .response import Margins, frequency_response, margins
from .system import Floats, LinearSystem


@dataclass(frozen=True)
class Band:
    """Responses of many drawn bodies: ``frequency`` [Hz]; ``nominal`` and, of each draw, ``responses``
    (draws, frequencies) from the system's only input to its only output; ``poles`` of each draw; ``margins``
    of each draw."""

    frequency: Floats
    nominal: NDArray[np.complex128]
    responses: NDArray[np.complex128]
    poles: list[NDArray[np.complex128]]
    margins: list[Margins]

    def magnitude(self, share: float) -> Floats:
        """|G| below which ``share`` of the draws lie, at each frequency."""
        return np.asarray(np.quantile(np.abs(self.responses), share, axis=0))

    def phase(self, share: float) -> Floats:
        """Phase [rad], unwrapped, below which ``share`` of the draws lie."""
        return np.asarray(np.quantile(np.unwrap(np.angle(self.responses), axis=1), share, axis=0))


def drawn(body: Any, tolerances: Mapping[str, float], draws: int, seed: int = 1) -> list[Any]:
    """Bodies whose fields scatter evenly within ± a share of themselves: {"mechanics.motor.resistance": 0.1}.

    Sobol points; the same seed gives the same bodies, and more draws continue them.
    """
    shares = points("sobol", seed, len(tolerances), 0, draws)
    bodies = []
    for row in shares:
        changes = {}
        for (path, width), share in zip(tolerances.items(), row, strict=True):
            changes[path] = value_at(body, path) * (1.0 + width * (2.0 * share - 1.0))
        bodies.append(body.replace(changes))
    return bodies


def value_at(part: Any, path: str) -> float:
    """The number at a dotted path; raises :class:`InputError` for one that is not there."""
    value = part
    for name in path.split("."):
        if not hasattr(value, name):
            raise InputError(f"{path}: there is no field {name!r}")
        value = getattr(value, name)
    if not isinstance(value, (int, float)):
        raise InputError(f"{path}: is no number")
    return float(value)


def response_band(
    build: Callable[[Any], LinearSystem],
    body: Any,
    tolerances: Mapping[str, float],
    *,
    frequency: Floats | None = None,
    draws: int = 64,
    seed: int = 1,
) -> Band:
    """``build`` makes the system of one input and one output from a body; see :class:`Band`."""
    nominal = build(body)
    if (len(nominal.inputs), len(nominal.outputs)) != (1, 1):
        raise InputError("a band is that of one input and one output; use select()")
    f = np.geomspace(0.05, 0.499 / nominal.period if nominal.period else 500.0, 300)
    f = f if frequency is None else np.asarray(frequency, dtype=float)
    systems = [build(b) for b in drawn(body, tolerances, draws, seed)]
    responses = np.array([frequency_response(s, f)[:, 0, 0] for s in systems])
    return Band(
        f,
        frequency_response(nominal, f)[:, 0, 0],
        responses,
        [s.poles for s in systems],
        [margins(s, 800) for s in systems],
    )
