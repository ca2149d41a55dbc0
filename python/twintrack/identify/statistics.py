# SPDX-License-Identifier: BSD-3-Clause
"""What residuals say: whether they are white, and how sure the estimates are."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from .reading import Floats

#: Residuals count fully up to this many σ, then ever less (pseudo-Huber): SciPy's soft_l1 with this scale.
ROBUST = 3.0

#: Probability below which residuals count as not white.
SUSPECT = 1e-3


class ResidualTest(NamedTuple):
    """``p`` is the probability of a value as extreme if the residuals were independent."""

    signal: str
    test: str
    value: float
    p: float


def residual_tests(signal: str, residuals: Floats, lags: int = 20) -> list[ResidualTest]:
    """Ljung–Box on ``lags`` autocorrelations, and the run test on the signs.

    G. M. Ljung, G. E. P. Box, Biometrika 65, 1978; A. Wald, J. Wolfowitz, Ann. Math. Statist. 11, 1940 (both
    from memory).
    """
    from scipy.stats import chi2, norm

    r = residuals[np.isfinite(residuals)]
    n = len(r)
    if n < 10 * lags:
        return []
    centred = r - r.mean()
    power = float(centred @ centred)
    rho = np.array([float(centred[k:] @ centred[:-k]) / power for k in range(1, lags + 1)])
    q = n * (n + 2) * float(np.sum(rho**2 / (n - np.arange(1, lags + 1))))
    above = r > np.median(r)
    n1, n2 = int(above.sum()), int((~above).sum())
    runs = 1 + int(np.count_nonzero(above[1:] != above[:-1]))
    mean = 1.0 + 2.0 * n1 * n2 / n
    spread = np.sqrt((mean - 1.0) * (mean - 2.0) / (n - 1.0))
    z = (runs - mean) / spread
    return [
        ResidualTest(signal, "Ljung–Box, 20 lags", q, float(chi2.sf(q, lags))),
        ResidualTest(signal, "run test", float(z), float(2.0 * norm.sf(abs(z)))),
    ]


def loss(residuals: Floats) -> float:
    """Robust cost: half the squares of small residuals, ever less of large ones."""
    return float(np.sum(ROBUST**2 * (np.sqrt(1.0 + (residuals / ROBUST) ** 2) - 1.0)))


def influence(residuals: Floats) -> tuple[Floats, Floats]:
    """ψ and ψ' of the robust loss at each residual."""
    z = 1.0 + (residuals / ROBUST) ** 2
    return np.asarray(residuals / np.sqrt(z)), np.asarray(z**-1.5)


class Direction(NamedTuple):
    """A combination of unknowns: how sure it is, relative to their values, and the share of each in it."""

    deviation: float
    shares: dict[str, float]

    @property
    def text(self) -> str:
        """The shares that count, the largest first."""
        some = sorted(self.shares.items(), key=lambda one: -abs(one[1]))
        return ", ".join(f"{name} {share:+.2f}" for name, share in some if abs(share) >= 0.15)


def directions(spread: Floats, values: Floats, names: tuple[str, ...]) -> list[Direction]:
    """The combinations of ``names`` that are estimated independently, the least certain first.

    ``spread`` is the covariance, ``values`` divide it. Their deviations are the reciprocals of the singular
    values of the weighed sensitivities by relative unknowns, whatever else is unknown left free: what has a
    large one is not identifiable. Å. Björck, Numerical Methods for Least Squares Problems, 1996 (memory).
    """
    variances, vectors = np.linalg.eigh(spread / np.outer(values, values))
    found = []
    for k in np.argsort(-variances):
        vector = vectors[:, k] * np.sign(vectors[np.argmax(np.abs(vectors[:, k])), k])
        shares = dict(zip(names, vector.tolist(), strict=True))
        found.append(Direction(float(np.sqrt(max(variances[k], 0.0))), shares))
    return found


def covariance(jacobian: Floats, residuals: Floats, lags: int = 0) -> Floats:
    """Of the scaled unknowns: H⁻¹ S H⁻¹ with H = Σ ψ' g gᵀ, S = Σ ψ² g gᵀ, g the rows of the Jacobian.

    With ``lags``, S takes in the products of residuals so many samples apart (Bartlett weights), for
    residuals that are not white. P. J. Huber, Robust Statistics, 1981, ch. 7; W. K. Newey, K. D. West,
    Econometrica 55, 1987 (both from memory). Independent and normal residuals give the Cramér–Rao bound, to
    the loss's efficiency of 0.99.
    """
    psi, slope = influence(residuals)
    h = (jacobian * slope[:, None]).T @ jacobian
    # One variance for all rows of a channel would do; each row's own is right with any noise.
    g = jacobian * psi[:, None]
    s = g.T @ g
    for k in range(1, lags + 1):
        both = g[k:].T @ g[:-k]
        s = s + (1.0 - k / (lags + 1.0)) * (both + both.T)
    inverse = np.linalg.pinv(h, rcond=1e-14, hermitian=True)
    return np.asarray(inverse @ s @ inverse)
