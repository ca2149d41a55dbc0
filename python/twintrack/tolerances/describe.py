# SPDX-License-Identifier: BSD-3-Clause
"""Tolerances and draws in words."""

from __future__ import annotations

from typing import Any

from ..studies.study import Study
from ..units import show
from .address import look_up
from .distribution import Choice, Uniform
from .tolerance import Tolerance


def drawn(study: Study, tolerance: Tolerance, value: Any) -> str:
    """A drawn value with its unit; a factor with ``×``, an offset with its sign."""
    if not isinstance(value, float):
        return str(value)
    unit = look_up(tolerance.parameter, study).unit
    if tolerance.way == "factor":
        return f"× {value:.6g}"
    if tolerance.way == "offset":
        return ("+ " if value >= 0 else "− ") + show(abs(value), "K" if unit == "degC" else unit)
    return show(value, unit)


def spreads(plan: Any) -> list[tuple[str, str]]:
    """Each tolerance and correlation: parameter, and how it scatters."""
    rows = [(t.parameter, _spread(plan.study, t)) for t in plan.tolerances]
    rows += [(" and ".join(c.parameters), f"rank correlation {c.rank:g}") for c in plan.correlated]
    return rows


def _spread(study: Study, one: Tolerance) -> str:
    def text(value: Any) -> str:
        return drawn(study, one, value)

    d = one.distribution
    if isinstance(d, Uniform):
        words = f"uniform from {text(d.least)} to {text(d.most)}"
    elif isinstance(d, Choice):
        words = ", ".join(f"{text(v)} ({100 * w:.3g} %)" for v, w in zip(d.values, d.weights, strict=True))
    else:
        words = f"normal, mean {text(d.mean)}, standard deviation {text(d.deviation).lstrip('×+ ')}"
        ends = [f"{name} {text(e)}" for name, e in (("least", d.least), ("most", d.most)) if e is not None]
        words += f", truncated ({', '.join(ends)})" if ends else ""
    return words + ("; after the learn" if one.after_learn else "")
