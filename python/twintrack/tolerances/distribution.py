# SPDX-License-Identifier: BSD-3-Clause
"""How a parameter scatters: distributions as the inverse of their cumulative share.

``at(share)`` turns shares in (0, 1) into values, which is all that random, Latin and Sobol sampling need.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

#: Shares are kept this far from 0 and 1 (half a step of a Sobol sequence of 30 bits).
EDGE = 2.0**-31


@dataclass(frozen=True)
class Uniform:
    """Equally likely everywhere from ``least`` to ``most``."""

    least: float
    most: float

    def at(self, share: NDArray[np.float64]) -> NDArray[np.float64]:
        return self.least + (self.most - self.least) * share

    def reach(self) -> tuple[float, float]:
        """The two ends of what can come out."""
        return self.least, self.most


@dataclass(frozen=True)
class Normal:
    """Normal about ``mean``; with ``least`` and ``most`` truncated there (renormalised, not clipped)."""

    mean: float
    deviation: float
    least: float | None = None
    most: float | None = None

    def at(self, share: NDArray[np.float64]) -> NDArray[np.float64]:
        from scipy import special, stats

        if self.least is None and self.most is None:
            return np.asarray(self.mean + self.deviation * special.ndtri(share))
        low = -np.inf if self.least is None else (self.least - self.mean) / self.deviation
        high = np.inf if self.most is None else (self.most - self.mean) / self.deviation
        return np.asarray(stats.truncnorm.ppf(share, low, high, loc=self.mean, scale=self.deviation))

    def reach(self) -> tuple[float, float]:
        """The two ends of what can come out; without limits 6.1 deviations from the mean, as far as `EDGE`
        lets."""
        low, high = self.at(np.array([EDGE, 1.0 - EDGE]))
        return (
            float(low) if self.least is None else self.least,
            float(high) if self.most is None else self.most,
        )


@dataclass(frozen=True)
class Choice:
    """One of ``values``, which may be numbers, names or flags; ``weights`` sum to one."""

    values: tuple[Any, ...]
    weights: tuple[float, ...]

    def at(self, share: NDArray[np.float64]) -> NDArray[Any]:
        borders = np.cumsum(self.weights)[:-1]
        return np.array(self.values)[np.searchsorted(borders, share, side="right")]

    def reach(self) -> tuple[Any, ...]:
        """Everything that can come out."""
        return self.values


Distribution = Uniform | Normal | Choice
_KINDS: dict[str, Any] = {"uniform": Uniform, "normal": Normal, "values": Choice}


def plain(distribution: Distribution) -> dict[str, Any]:
    """As plain values, for JSON."""
    (kind,) = (name for name, cls in _KINDS.items() if isinstance(distribution, cls))
    return {"kind": kind, **asdict(distribution)}


def from_plain(values: dict[str, Any]) -> Distribution:
    """The inverse of :func:`plain`."""
    fields = {k: tuple(v) if isinstance(v, list) else v for k, v in values.items() if k != "kind"}
    made: Distribution = _KINDS[values["kind"]](**fields)
    return made
