# SPDX-License-Identifier: BSD-3-Clause
"""What the lab page holds: parts, bench, stroke and catalogues as plain values for JSON."""

from __future__ import annotations

from typing import Any

from .. import _core
from ..errors import InputError, listing
from ..lessons import answers
from ..notebook.diagram import PLACES
from ..parts import catalogue as parts
from ..parts import engines as engine_parts
from ..studies.study import Study
from ..tolerances.sampling import points
from ..tolerances.usual import usual
from . import picture

#: The pair that the page without a study begins with.
FIRST = ("parallel-high", "set-a")

#: Benches that the page runs side by side.
SCATTERED = 200

#: Faults that the page moves by sliders: where, what.
SLIDERS = (
    ("body.friction", "scale"),
    ("body.return_spring", "scale"),
    ("body.opener_spring", "scale"),
    ("supply", "scale"),
    ("motor", "heat"),
)


def built_in() -> dict[str, Any]:
    """The contents without a study: every built-in part, and an engine behind the throttle."""
    pedals, bodies = parts.pedals(), parts.bodies()
    engine = next(iter(engine_parts.engines().values()))
    bench = _core.BenchParameters(pedal=pedals[FIRST[0]], body=bodies[FIRST[1]], engine=engine)
    return _contents("A bench to play with", pedals, bodies, bench, _core.Stroke.rest_half_full_rest(), ())


def of_study(study: Study) -> dict[str, Any]:
    """The contents for a study: its parts, its bench, its stroke, and its faults to be switched on.

    Raises :class:`InputError` where the page cannot run the study.
    """
    if study.units:
        own = listing(study.units)
        raise InputError(f"the lab page has the built-in units only, and this study has its own {own}")
    first = study.parameters(next(iter(study.pedals)), next(iter(study.bodies)), 0)
    if first.wiring.pin_out and len(study.pedals) * len(study.bodies) > 1:
        raise InputError(
            "the study has a pin-out, which fits one pair: name one pedal and one body for the page"
        )
    faults = tuple(study.faults)
    return _contents(study.title, study.pedals, study.bodies, first, study.stroke, faults)


def of_lesson(name: str) -> dict[str, Any]:
    """The contents where a lesson begins: its bench with what that has learned, its stroke and its faults.

    Raises :class:`InputError` for a name that no lesson has.
    """
    lesson, bench = answers.lesson_of(name), answers.bench(name)
    taught = {lesson.setting.learned_pedal or lesson.setting.pedal, lesson.setting.pedal}
    pedals = {pedal: parts.pedal(pedal) for pedal in sorted(taught)}
    bodies = {lesson.setting.body: bench.parameters.body}
    faults, stroke = tuple(lesson.setting.fault_values()), lesson.setting.stroke()
    found = _contents(f"Lesson: {lesson.title}", pedals, bodies, bench.parameters, stroke, faults)
    assert bench.learned is not None  # or the bench of the lesson would have raised
    return {**found, "learned": bench.learned.to_dict()}


def _contents(
    title: str,
    pedals: dict[str, Any],
    bodies: dict[str, Any],
    bench: _core.BenchParameters,
    stroke: _core.Stroke,
    faults: tuple[_core.Fault, ...],
) -> dict[str, Any]:
    shown = picture.drawn(bench)
    rest = bench.to_dict()
    first = rest.pop("pedal")["name"], rest.pop("body")["name"]
    return {
        "title": title,
        "first": _keys(first, pedals, bodies, bench),
        "bench": rest,
        "pedals": {name: {**_part(pedal), **_drawn(bench, pedal=pedal)} for name, pedal in pedals.items()},
        "bodies": {
            name: {**_part(body), "gains": _gains(bench, body), **_drawn(bench, body=body)}
            for name, body in bodies.items()
        },
        "picture": shown,
        "formats": picture.formats(),
        "stroke": {"time": list(stroke.time), "travel": list(stroke.travel)},
        "faults": [_fault(fault) for fault in faults],
        "learned": None,
        "wiring_faults": [_kind(kind) for kind in _core.wiring_fault_kinds()],
        "other_faults": [_kind(kind) for kind in _core.fault_catalogue() if _offered(kind, bench)],
        "disturbances": [_disturbance(kind) for kind in _core.disturbance_catalogue()],
        "places": [list(place) for place in PLACES],
        "scatter": _scatter(pedals, bodies),
    }


def _scatter(pedals: dict[str, Any], bodies: dict[str, Any]) -> list[dict[str, Any]]:
    """Draws of the usual tolerances for the parts with the most tracks; a pair with fewer leaves some out."""
    pedal, body = (max(some.values(), key=lambda part: len(part.tracks)) for some in (pedals, bodies))
    some = usual(_core.BenchParameters(pedal=pedal, body=body))
    shares = points("sobol", 1, len(some), 0, SCATTERED)
    return [
        {
            "parameter": one.parameter,
            "way": one.way,
            "values": [float(f"{v:.5g}") for v in one.distribution.at(shares[:, k])],
        }
        for k, one in enumerate(some)
    ]


def _keys(
    names: tuple[str, str], pedals: dict[str, Any], bodies: dict[str, Any], bench: _core.BenchParameters
) -> list[str]:
    """The names that the parts go by: those of a study are the user's."""
    pedal = next(key for key, part in pedals.items() if part == bench.pedal)
    body = next(key for key, part in bodies.items() if part == bench.body)
    return [pedal, body]


def _part(part: Any) -> dict[str, Any]:
    return {"values": part.to_dict(), "terminals": [list(pair) for pair in part.terminals()]}


def _drawn(bench: _core.BenchParameters, **part: Any) -> dict[str, Any]:
    """The blocks of the picture in which a part stands; without a pin-out, which fits one pair only."""
    names = picture.OF_PEDAL if "pedal" in part else picture.OF_BODY
    with_it = _core.BenchParameters(**({"pedal": bench.pedal, "body": bench.body} | part))
    return {"blocks": picture.blocks(picture.drawn(with_it), names)}


def _gains(bench: _core.BenchParameters, body: Any) -> dict[str, float]:
    """The controller's own gains for a body."""
    found = _core.loop_gains(
        bench.controller, body.mechanics, bench.control_period, bench.acquisition.filter_time
    )
    return {name: found[name] for name in ("proportional", "integral", "derivative")}


def _fault(fault: _core.Fault) -> dict[str, Any]:
    names = ("where", "what", "other", "amount", "start", "end", "ramp", "every", "lasting")
    return {name: getattr(fault, name) for name in names}


def _kind(kind: _core.FaultKind) -> dict[str, Any]:
    return {name: getattr(kind, name) for name in ("where", "what", "unit", "least", "most", "meaning")}


def _offered(kind: _core.FaultKind, bench: _core.BenchParameters) -> bool:
    """What sliders of their own do, and what this bench does not have, is left out of the list."""
    if (kind.where, kind.what) in SLIDERS:
        return False
    return bench.engine is not None or kind.where != "manifold"


def _disturbance(kind: _core.LearnDisturbanceKind) -> dict[str, Any]:
    names = ("name", "unit", "least", "most", "usual", "places", "meaning")
    return {name: getattr(kind, name) for name in names}
