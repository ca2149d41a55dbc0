# SPDX-License-Identifier: BSD-3-Clause
"""The safety metrics as text, table and page."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from ..designs.audit import table as audit_table
from ..designs.audit.design import Audit
from ..errors import InputError, listing
from ..experiments.result import Result
from ..files import output
from ..pages import page
from ..pages.section import Section, Table
from .metrics import CLAIM, Bounds, ElementNumbers, Metrics, metrics
from .rates import FIT, Rates

HEAD = [
    *("element", "FIT", "source", "cases", "hazardous", "in time", "diagnostic coverage", "95 %"),
    *("residual FIT", "latent FIT", "FDTI ms", "FRTI ms", "FDTI + FRTI ms", "within the limit"),
]


def numbers(result: Result, rates: Rates) -> Metrics:
    """The metrics of an audit's results.

    Raises :class:`InputError` for results of another design, an unknown set-up, several pairs, or cases that
    are missing.
    """
    design = result.plan.design
    if not isinstance(design, Audit):
        raise InputError(f"{result.folder}: holds the design {design.name!r}; these numbers need an audit")
    if len(design.pairs) != 1:
        raise InputError(f"{result.folder}: has {len(design.pairs)} pairs; elements and rates are of one")
    setups = [name for name in design.setups if name != audit_table.UNWATCHED]
    setup = rates.setup or setups[0]
    if setup not in setups:
        raise InputError(
            f"{result.folder}: there is no set-up {setup!r} in this audit (there are: {listing(setups)})"
        )
    if len(result) < len(result.plan.specs):
        raise InputError(
            f"{result.folder}: only {len(result)} of {len(result.plan.specs)} cases are finished"
        )
    cases = audit_table.faulty(result.table)
    cases = cases[(cases["setup"] == setup) & (cases["grade"] != "")]
    places = {one.label: (one.where, one.what) for one in design.faults(*design.pairs[0])}
    return metrics(cases, places, rates.elements, setup, rates.time or design.hazard[1])


def percent(share: float) -> str:
    """Rounded down, so that 100 % means all."""
    return audit_table.percent(share) or "–"


def bounds(value: Bounds) -> str:
    """``"93.4 % (88 % … 96.1 %)"``."""
    return f"{percent(value[0])} ({percent(value[1])} … {percent(value[2])})"


def headline(found: Metrics) -> str:
    """The answer in a few sentences."""
    text = (
        f"Monitor {found.setup!r}: single-point fault metric {bounds(found.spfm)}, latent fault metric "
        f"{bounds(found.lfm)}; residual {found.residual[0] / FIT:.3g} FIT of {found.rate / FIT:.3g} FIT."
    )
    limit = f"the fault-tolerant time of {1000 * found.limit:.0f} ms"
    if math.isnan(found.longest):
        text += " No hazardous fault is detected."
    else:
        within = "within" if found.longest <= found.limit else "BEYOND"
        text += f" The longest detection and reaction takes {1000 * found.longest:.0f} ms, {within} {limit}."
    if found.uncounted:
        text += f" {len(found.uncounted)} faults of the audit belong to no element and are not counted."
    return text


def row(one: ElementNumbers, limit: float) -> list[Any]:
    """One element by :data:`HEAD`."""
    coverage = one.coverage
    fdti, frti, whole = (("–" if math.isnan(t) else f"{1000 * t:.0f}") for t in one.times)
    within = "–" if math.isnan(one.times[2]) else "yes" if one.times[2] <= limit else "NO"
    residual = f"{one.residual[0] / FIT:.4g}" + (" (single-point)" if one.single_point else "")
    return [
        one.element.name,
        f"{one.element.rate / FIT:g}",
        one.element.source,
        *(str(one.total(what)) for what in ("cases", "hazardous", "in_time")),
        percent(coverage[0]),
        "–" if math.isnan(coverage[1]) else f"{percent(coverage[1])} … {percent(coverage[2])}",
        residual,
        f"{one.latent[0] / FIT:.4g}",
        *(fdti, frti, whole, within),
    ]


def write(result: Result, found: Metrics) -> Path:
    """``safety.html`` in the folder of the results."""
    rows = [row(one, found.limit) for one in found.elements]
    head = ["element", "kind", "FIT", "cases", "hazardous", "in time", "not hazardous", "of them detected"]
    modes = [
        (one.element.name, m.what, f"{m.rate / FIT:g}", m.cases, m.hazardous, m.in_time, m.others, m.detected)
        for one in found.elements
        for m in one.modes
    ]
    sums = [
        ("single-point fault metric", bounds(found.spfm), "1 − Σ residual / Σ λ"),
        ("latent fault metric", bounds(found.lfm), "1 − Σ latent / (Σ λ − Σ residual)"),
        ("Σ λ", f"{found.rate / FIT:g} FIT", "as stated"),
        ("Σ residual and single-point", f"{found.residual[0] / FIT:.4g} FIT", ""),
        ("Σ latent", f"{found.latent[0] / FIT:.4g} FIT", ""),
    ]
    parts = [
        Section("Metrics", [CLAIM, Table(["", "value (bounds)", "is"], sums)]),
        Section("Elements", [Table(HEAD, rows, f"Limit of the handling time: {1000 * found.limit:.0f} ms")]),
        Section("Kinds of fault", [Table(head, modes)]),
    ]
    if found.uncounted:
        left = [(name,) for name in found.uncounted]
        parts.append(Section("Faults of no element, not counted", [Table(["fault"], left)]))
    path = result.folder / "safety.html"
    about = [("results", str(result.folder)), ("fingerprint", result.plan.fingerprint()[:16])]
    text = page.report(f"Safety metrics: {result.plan.study.title}", headline(found), [CLAIM], parts, about)
    try:
        output.write(path, text.encode())
    except OSError as error:
        raise InputError(f"{path}: cannot be written: {error.strerror or error}") from error
    return path
