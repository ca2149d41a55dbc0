# SPDX-License-Identifier: BSD-3-Clause
"""State-space models whose states, inputs and outputs have names and units."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..errors import InputError, closest, listing

Floats = NDArray[np.float64]


class Signal(NamedTuple):
    """A state, an input or an output; ``unit`` is empty for plain numbers."""

    name: str
    unit: str = ""


Signals = tuple[Signal, ...]


@dataclass(frozen=True)
class LinearSystem:
    """dx/dt = A x + B u, y = C x + D u (``period`` 0), or x⁺ = A x + B u with ``period`` [s].

    Deviations from ``point``, the values of named quantities at the operating point. Iterates as A, B, C, D
    and, sampled, the period, which is what python-control's ``ss`` and SciPy's ``StateSpace`` take.
    """

    A: Floats
    B: Floats
    C: Floats
    D: Floats
    states: Signals
    inputs: Signals
    outputs: Signals
    period: float = 0.0
    point: Mapping[str, float] | None = None

    def __iter__(self) -> Iterator[Floats | float]:
        yield from (self.A, self.B, self.C, self.D)
        if self.period:
            yield self.period

    @property
    def poles(self) -> NDArray[np.complex128]:
        """Eigenvalues of A: [1/s], or plain numbers when sampled."""
        return np.asarray(np.linalg.eigvals(self.A), dtype=complex)

    @property
    def stable(self) -> bool:
        poles = self.poles
        return bool(np.all(np.abs(poles) < 1.0) if self.period else np.all(poles.real < 0.0))

    def select(
        self, inputs: str | Sequence[str] | None = None, outputs: str | Sequence[str] | None = None
    ) -> LinearSystem:
        """The same system with these inputs and outputs only, by name, in this order."""
        u = _places(self.inputs, inputs, "input")
        y = _places(self.outputs, outputs, "output")
        return replace(
            self,
            B=self.B[:, u],
            C=self.C[y],
            D=self.D[np.ix_(y, u)],
            inputs=tuple(self.inputs[k] for k in u),
            outputs=tuple(self.outputs[k] for k in y),
        )

    def sampled(self, period: float) -> LinearSystem:
        """With inputs held over each ``period`` [s]: the matrix exponential of [[A, B], [0, 0]], exact.

        C. Van Loan, IEEE Trans. Autom. Control 23(3), 1978 (from memory); SciPy's ``cont2discrete``.
        """
        if self.period:
            raise InputError("period: the system is sampled already")
        if not (np.isfinite(period) and period > 0.0):
            raise InputError(f"period: must be a positive number of seconds; got {period}")
        a, b = _core.sampled_matrices(self.A, self.B, period)
        return replace(self, A=a, B=b, period=period)

    def __str__(self) -> str:
        kind = f"sampled every {1e3 * self.period:g} ms" if self.period else "continuous"
        rows = [f"linear system, {kind}, {len(self.states)} states"]
        for what, signals in (("states", self.states), ("inputs", self.inputs), ("outputs", self.outputs)):
            rows.append(f"  {what}: " + ", ".join(f"{s.name} [{s.unit or '1'}]" for s in signals))
        rows.append("  poles: " + ", ".join(f"{p:.6g}" for p in sorted(self.poles, key=abs)))
        return "\n".join(rows)


def _places(signals: Signals, wanted: str | Sequence[str] | None, what: str) -> list[int]:
    names = [s.name for s in signals]
    if wanted is None:
        return list(range(len(names)))
    places = []
    for name in [wanted] if isinstance(wanted, str) else wanted:
        if name not in names:
            raise InputError(
                f"there is no {what} {name!r}{closest(name, names)} (there are: {listing(names)})"
            )
        places.append(names.index(name))
    return places


def connect(
    systems: Mapping[str, LinearSystem],
    links: Mapping[str, str],
    inputs: Mapping[str, str | Sequence[str]],
    outputs: Mapping[str, str],
) -> LinearSystem:
    """Sampled (or continuous) systems wired together.

    ``systems`` by name; ``links`` maps "system.input" to the "system.output" that feeds it; ``inputs`` maps
    the names of the whole's inputs to the inputs that they are added to, ``outputs`` its outputs to what
    they show. Raises :class:`InputError` for names that do not exist, different periods, or a loop without
    delay that has no solution.
    """
    periods = {s.period for s in systems.values()}
    if len(periods) != 1:
        raise InputError("systems of different periods cannot be connected; sample them first")
    u_at, y_at = _index(systems, "inputs"), _index(systems, "outputs")
    a, b, c, d = (_diagonal([getattr(s, m) for s in systems.values()]) for m in "ABCD")
    feed = np.zeros((len(u_at), len(y_at)))
    for target, source in links.items():
        feed[_find(u_at, target), _find(y_at, source)] = 1.0
    outside = np.zeros((len(u_at), len(inputs)))
    for k, targets in enumerate(inputs.values()):
        for target in [targets] if isinstance(targets, str) else targets:
            outside[_find(u_at, target), k] = 1.0
    of_state, of_input = _solved(np.eye(len(u_at)) - feed @ d, feed @ c, outside)
    shown = [_find(y_at, source) for source in outputs.values()]
    units_u = {f"{n}.{s.name}": s.unit for n, system in systems.items() for s in system.inputs}
    units_y = {f"{n}.{s.name}": s.unit for n, system in systems.items() for s in system.outputs}
    first = {name: targets if isinstance(targets, str) else targets[0] for name, targets in inputs.items()}
    return LinearSystem(
        a + b @ of_state,
        b @ of_input,
        (c + d @ of_state)[shown],
        (d @ of_input)[shown],
        tuple(Signal(f"{n}.{s.name}", s.unit) for n, system in systems.items() for s in system.states),
        tuple(Signal(name, units_u[target]) for name, target in first.items()),
        tuple(Signal(name, units_y[source]) for name, source in outputs.items()),
        periods.pop(),
    )


def _solved(loop: Floats, *sides: Floats) -> list[Floats]:
    try:
        found = [np.asarray(np.linalg.solve(loop, side), dtype=np.float64) for side in sides]
    except np.linalg.LinAlgError:
        found = []
    if not found or max((np.abs(f).max() for f in found if f.size), default=0.0) > 1e15:
        raise InputError("links: a loop without delay has no solution")
    return found


def _index(systems: Mapping[str, LinearSystem], what: str) -> dict[str, int]:
    names = [f"{name}.{s.name}" for name, system in systems.items() for s in getattr(system, what)]
    return {name: k for k, name in enumerate(names)}


def _find(names: Mapping[str, int], name: str) -> int:
    if name not in names:
        raise InputError(f"there is no {name!r}{closest(name, names)} (there are: {listing(names)})")
    return names[name]


def _diagonal(blocks: Sequence[Floats]) -> Floats:
    whole = np.zeros((sum(b.shape[0] for b in blocks), sum(b.shape[1] for b in blocks)))
    row = column = 0
    for block in blocks:
        rows, columns = block.shape
        whole[row : row + rows, column : column + columns] = block
        row, column = row + rows, column + columns
    return whole
