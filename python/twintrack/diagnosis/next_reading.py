# SPDX-License-Identifier: BSD-3-Clause
"""What to measure next: the reading that is expected to tell most, its cost and its hazard counted.

    gain = H(groups) − Σ_v P(v) H(groups | v)   [bit],      worth = gain / (minutes · hazard)

over the values v of a reading in cells, each cause's values taken as normal with their scatter and the
meter's. It takes readings as independent given the cause, which the answer itself does not. Minutes and
hazard factors: common practice, no source; unplugged before powered, engine off before engine running.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from scipy import special

from .answer import NONE, Answer, Ranked
from .dictionary import Dictionary
from .likelihood import FLOOR, Likelihood
from .readings import Floats, Meter, Reading, meter_deviation, scaled

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
    """P(cell | cause) of every reading, made once."""

    def __init__(self, model: Likelihood) -> None:
        self.readings = model.known.readings
        parts = [_cells(model, reading) for reading in self.readings]
        width = max(part.shape[1] for part in parts)
        padded = [np.pad(part, ((0, 0), (0, width - part.shape[1]))) for part in parts]
        self.shares: Floats = np.stack(padded)  # readings × causes + none × cells

    def gains(self, probabilities: Floats, members: list[list[int]]) -> Floats:
        """[bit] by reading."""
        groups = [*members, [len(probabilities) - 1]]
        weights = np.array([probabilities[group].sum() for group in groups])
        some = [(w, g) for w, g in zip(weights, groups, strict=True) if w > 1e-5]
        joint = np.stack(
            [np.einsum("c,mcv->mv", probabilities[g], self.shares[:, g, :]) for _, g in some], axis=1
        )  # readings × groups × cells
        total = joint.sum(axis=1, keepdims=True)
        with np.errstate(divide="ignore", invalid="ignore"):
            inside = joint * np.log2(joint / total)
        left = -np.nansum(inside, axis=(1, 2))
        share = np.array([w for w, _ in some])
        return np.asarray(-(share * np.log2(share)).sum() - left)


def _cells(model: Likelihood, reading: Reading) -> Floats:
    known = model.known
    if not reading.number:
        signs = model.signs(reading.kind)
        logs = np.array([np.append(signs.log(o), signs.log_none(o)) for o in map(str, signs.outcomes)]).T
        shares = np.exp(logs)
        return np.asarray(shares / shares.sum(axis=1, keepdims=True))
    values = known.numbers(reading)
    draws = scaled(reading, values)
    mean = draws.mean(axis=1)
    noise = _noise(reading, values, model.meter)
    deviation = np.sqrt(draws.var(axis=1, ddof=1) + noise**2 + FLOOR[reading.kind] ** 2)
    spots = np.concatenate([mean, mean - 1.5 * deviation, mean + 1.5 * deviation])
    edges = np.unique(
        np.concatenate(
            [
                np.quantile(spots, np.linspace(0, 1, _CELLS // 2)),
                np.linspace(spots.min(), spots.max(), _CELLS // 2),
            ]
        )
    )
    below = special.ndtr((edges[None, :] - mean[:, None]) / deviation[:, None])
    below = np.concatenate([np.zeros((len(mean), 1)), below, np.ones((len(mean), 1))], axis=1)
    shares = np.diff(below, axis=1)
    even = np.concatenate([[0.0], np.diff(edges), [0.0]])
    even = even / even.sum() if even.sum() > 0 else np.full(shares.shape[1], 1.0 / shares.shape[1])
    return np.vstack([shares, even])


def _noise(reading: Reading, values: Floats, meter: Meter) -> Floats:
    return meter_deviation(reading, np.median(values, axis=1), meter)


def suggestions(
    answer: Answer, cells: Cells, members: list[list[int]], *, without: Collection[str] = (), last: str = ""
) -> list[Suggestion]:
    """What is worth measuring, the best first. ``without``: states to leave out; ``last``: the state one is
    in."""
    gains = cells.gains(answer.probabilities, members)
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
