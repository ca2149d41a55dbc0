# SPDX-License-Identifier: BSD-3-Clause
"""What to measure next: the reading of the largest expected information, its cost and its hazard counted.

    gain = H(groups) − Σ_v P(v) H(groups | v)   [bit],      worth = gain / (minutes · hazard)

over the values v of a reading in cells, each cause's values taken as normal given what was read already, so
that a reading which only repeats another tells nothing. Minutes and hazard factors: common practice, no
source; unplugged before powered, engine off before engine running.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from .answer import NONE, Answer, Ranked
from .dictionary import Dictionary
from .likelihood import FLOOR, Likelihood
from .readings import Floats, Reading, meter_deviation, scaled

#: Cells that the values of a reading are put into.
_CELLS = 48

#: Below which a reading tells nothing worth its while [bit].
LEAST_GAIN = 0.02

#: State that a reading needs: (minutes to get there, hazard factor, how).
STATES = {
    "off": (3.0, 1.0, "key off, battery's minus off, every connector apart"),
    "still": (3.0, 1.5, "key on, engine off, motor leads off at the controller: nothing can drive the blade"),
    "live": (1.0, 2.5, "key on, engine off, all plugged in: hands and tools out of the bore, stand "
                       "clear of the wheels"),
    "learn": (2.0, 4.0, "the blade visits both stops by itself: hands out of the bore, a switch that "
                        "cuts the power in reach"),
    "running": (5.0, 10.0, "engine running: wheels chocked, gear in neutral or park, a way to cut fuel "
                           "and ignition in reach"),
}  # fmt: skip

_STATE_OF = {
    "ohms": "off", "volts": "still", "codes": "live", "key_on": "live", "follows": "live",
    "refusal": "learn", "idle_rpm": "running",
}  # fmt: skip


def state_of(reading: Reading) -> str:
    return _STATE_OF[reading.kind]


def caution_of(reading: Reading) -> str:
    """How to take it without being hurt."""
    how = STATES[state_of(reading)][2]
    if reading.stand in ("closed", "open"):
        how += "; only so may a hand move it"
    return how


@dataclass(frozen=True)
class Suggestion:
    """``gain`` [bit]; ``minutes`` with what it takes to get into the state."""

    reading: Reading
    gain: float
    minutes: float
    hazard: float
    expect: tuple[tuple[str, str], ...]  #: cause, value, of the most probable groups

    @property
    def caution(self) -> str:
        return caution_of(self.reading)

    def __str__(self) -> str:
        lines = [f"Measure next: {self.reading.text}", f"  how: {self.caution}"]
        lines += [f"  {value} if {cause}" for cause, value in self.expect]
        return "\n".join(lines)


class Cells:
    """What each reading would show under each cause, given what was read already."""

    def __init__(self, model: Likelihood) -> None:
        known = model.known
        self._model = model
        self.numbers = [reading for reading in known.readings if reading.number]
        self.signs = [reading for reading in known.readings if not reading.number]
        self.readings = [*self.numbers, *self.signs]
        draws = np.stack([scaled(r, known.numbers(r)) for r in self.numbers], axis=2)
        self._mean = draws.mean(axis=1)  # causes × readings
        self._apart = draws - self._mean[:, None, :]
        floor = np.array([FLOOR[r.kind] for r in self.numbers])
        noise = np.stack(
            [meter_deviation(r, np.median(known.numbers(r), axis=1), model.meter) for r in self.numbers],
            axis=1,
        )
        self._extra = noise**2 + floor**2
        self._sign_shares = [_sign_shares(model, reading) for reading in self.signs]

    def gains(self, answer: Answer, members: list[list[int]]) -> Floats:
        """[bit] by reading."""
        share = answer.probabilities
        group = np.empty(len(share) - 1, dtype=int)
        for number, some in enumerate(members):
            group[some] = number
        likely = share[:-1] > 1e-5
        likely[0] = True  # "healthy": an unknown cause leaves most readings as they should be
        live = np.flatnonzero(likely)
        live = live[np.argsort(group[live], kind="stable")]
        starts = np.flatnonzero(np.diff(group[live], prepend=-1))  # where the causes of a group begin
        weights = np.append(share[live], share[-1])
        found = [_gain(self._cells(live, answer), weights, starts)]
        for shares in self._sign_shares:
            found.append(_gain(shares[None, [*live, 0], :], weights, starts))
        return np.concatenate(found)

    def _cells(self, live: NDArray[np.intp], answer: Answer) -> Floats:
        """P(cell | cause, what was read), readings × live causes and "none of these" × cells."""
        mean, variance = self._given(live, answer)
        deviation = np.sqrt(variance)
        spots = np.concatenate([mean, mean - 1.5 * deviation, mean + 1.5 * deviation])
        even = np.linspace(spots.min(axis=0), spots.max(axis=0), _CELLS // 2)
        edges = np.sort(
            np.concatenate([np.quantile(spots, np.linspace(0, 1, _CELLS // 2), axis=0), even]), axis=0
        ).T
        below = special.ndtr((edges[:, None, :] - mean.T[:, :, None]) / deviation.T[:, :, None])
        shares = np.diff(below, axis=2, prepend=0.0, append=1.0)
        return np.concatenate([shares, shares[:, np.flatnonzero(live == 0), :]], axis=1)

    def _given(self, live: NDArray[np.intp], answer: Answer) -> tuple[Floats, Floats]:
        """Mean and variance of each reading by live cause: of normal numbers, given some of them."""
        mean, apart, extra = self._mean[live], self._apart[live], self._extra[live]
        freedom = apart.shape[1] - 1
        variance = np.einsum("cnr,cnr->cr", apart, apart) / freedom + extra
        seen = [self.numbers.index(r) for r in answer.observed if r.number]
        if not seen:
            return mean, variance
        own = np.einsum("cni,cnj->cij", apart[:, :, seen], apart[:, :, seen]) / freedom
        index = np.arange(len(seen))
        own[:, index, index] += extra[:, seen]
        cross = np.einsum("cnr,cni->cri", apart, apart[:, :, seen]) / freedom
        slope = np.linalg.solve(own, cross.transpose(0, 2, 1)).transpose(0, 2, 1)  # causes × readings × seen
        x = np.array([float(scaled(self.numbers[k], float(answer.observed[self.numbers[k]]))) for k in seen])
        mean = mean + np.einsum("cri,ci->cr", slope, x - mean[:, seen])
        return mean, np.maximum(variance - np.einsum("cri,cri->cr", slope, cross), extra)


def _gain(shares: Floats, weights: Floats, starts: NDArray[np.intp]) -> Floats:
    """[bit] of each reading: entropy of the groups less what is expected to be left of it."""
    joint = weights[None, :, None] * shares
    groups = np.concatenate([np.add.reduceat(joint[:, :-1], starts, axis=1), joint[:, -1:]], axis=1)
    share = np.append(np.add.reduceat(weights[:-1], starts), weights[-1])
    total = groups.sum(axis=1, keepdims=True)
    left = (
        special.xlogy(total, total).sum(axis=(1, 2)) - special.xlogy(groups, groups).sum(axis=(1, 2))
    ) / np.log(2.0)
    return np.asarray(-(special.xlogy(share, share).sum() / np.log(2.0)) - left)


def _sign_shares(model: Likelihood, reading: Reading) -> Floats:
    """P(outcome | cause), "none of these" last."""
    signs = model.signs(reading.kind)
    logs = np.array([np.append(signs.log(o), signs.log_none(o)) for o in map(str, signs.outcomes)]).T
    shares = np.exp(logs)
    return np.asarray(shares / shares.sum(axis=1, keepdims=True))


def suggestions(
    answer: Answer, cells: Cells, members: list[list[int]], *, without: Collection[str] = (), last: str = ""
) -> list[Suggestion]:
    """What is worth measuring, the best first. ``without``: states to leave out; ``last``: the state one is
    in."""
    gains = cells.gains(answer, members)
    found = []
    for reading, gain in zip(cells.readings, gains, strict=True):
        state = state_of(reading)
        if gain < LEAST_GAIN or reading in answer.observed or state in without:
            continue
        change, hazard, _ = STATES[state]
        minutes = 1.0 + (0.0 if state == last else change)
        found.append((float(gain) / (minutes * hazard), reading, float(gain), minutes, hazard))
    found.sort(key=lambda one: -one[0])
    return [
        Suggestion(reading, gain, minutes, hazard, _expect(answer, reading))
        for _, reading, gain, minutes, hazard in found[:10]
    ]


def _expect(answer: Answer, reading: Reading) -> tuple[tuple[str, str], ...]:
    def named(group: Ranked) -> str:
        return group.causes[0] + (f" (or {len(group.causes) - 1} alike)" if len(group.causes) > 1 else "")

    likely = [g for g in answer.groups[:6] if g.probability > 0.01 and NONE not in g.causes]
    return tuple((named(group), answer.expected(reading, group.causes[0])) for group in likely[:4])


def known_states(known: Dictionary) -> list[str]:
    """The states that readings of this dictionary need."""
    return list(dict.fromkeys(state_of(reading) for reading in known.readings))
