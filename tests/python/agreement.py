# SPDX-License-Identifier: BSD-3-Clause
"""Mixed cases, and whether lanes and exact solver come to the same verdicts on them.

A difference is explained when the exact solver itself comes to both verdicts in the neighbourhood of the
case: under other draws of the noise, or with the fault's amount, the supply and the friction changed by a
thousandth.
Its margin then lies within what a quantised, noisy loop leaves to chance.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import Any

import numpy as np

import twintrack as tt
from twintrack import _core

STROKES = (
    tt.Stroke(time=[0, 0.4, 0.5, 1.6, 1.7, 2.8], travel=[0, 0, 0.6, 0.6, 0.1, 0.1]),
    tt.Stroke(time=[0, 0.3, 1.3, 2.4, 2.5, 3.6], travel=[0.1, 0.1, 1.0, 1.0, 0.0, 0.0]),
    tt.Stroke(time=[0, 0.5, 0.55, 1.7, 1.75, 2.9], travel=[0.3, 0.3, 0.05, 0.05, 0.8, 0.8]),
)
#: With an engine: it starts and settles before the foot comes.
WITH_ENGINE = (
    tt.Stroke(time=[0, 3.5, 3.7, 4.5, 4.7, 6.5], travel=[0, 0, 0.4, 0.4, 0, 0]),
    tt.Stroke(time=[0, 3.0, 4.5, 5.0, 5.1, 6.5], travel=[0, 0, 0.8, 0.8, 0.1, 0.1]),
)
BRAKE = tt.Stroke(time=[0, 1.0, 1.1, 2.0, 2.1, 2.9], travel=[0, 0, 0.7, 0.7, 0, 0])

MONITORS = (
    _core.MonitorParameters,
    _core.monitor_strict,
    _core.monitor_graded,
    _core.monitor_careless,
    _core.monitor_unwatched,
)
CONTROLLERS: tuple[dict[str, Any], ...] = (
    {},
    {"controller.feed_forward": False},
    {"controller.set_point_time": 0.006},
    {"controller.self_test.enabled": True},
    {"controller.closed_stop.enabled": True},
)
#: Amounts to draw from, by what is wrong; where none is given, half of what the catalogue allows.
REACH = {"offset": (-0.25, 0.25), "gain": (0.5, 1.5), "noise": (0.0, 0.05), "scale": (0.3, 1.7)}
REACH |= {"torque": (-1.0, 1.0)}


@dataclass(frozen=True)
class Mixed:
    """A case with what it was drawn from."""

    case: _core.Case
    learned: Any
    faults: tuple[_core.Fault, ...]
    brake: tt.Stroke | None
    label: str

    @property
    def learn(self) -> str:
        """The controller has learned this pair, or never anything."""
        return "fresh" if self.learned else "none"


def drawn_fault(random, parameters, last):
    """One fault at some instant: of the wiring, or of the catalogue and of what there is."""
    start = round(random.uniform(0.0, 0.9 * last), 3)
    if parameters.wiring.kind != "ideal" and random.random() < 0.5:
        every = _core.every_single_wiring_fault(parameters.pedal, parameters.body, start=start)
        return every[random.integers(len(every))]
    present = {"pedal": len(parameters.pedal.tracks), "throttle": len(parameters.body.tracks)}
    kinds = []
    for kind in _core.fault_catalogue():
        assembly, _, track = kind.where.partition(".track")
        if kind.where == "manifold" and parameters.engine is None:
            continue
        if kind.what == "lag" or kind.where == "pedal.idle_switch":  # not for lanes
            continue
        if not track or int(track) <= present[assembly]:
            kinds.append(kind)
    kind = kinds[random.integers(len(kinds))]
    low, high = REACH.get(kind.what, (0.5 * kind.least, 0.5 * kind.most))
    amount = (
        0.0 if kind.least >= kind.most else float(np.clip(random.uniform(low, high), kind.least, kind.most))
    )
    ramp = 0.2 if kind.least < kind.most and random.random() < 0.3 else 0.0
    return _core.Fault(where=kind.where, what=kind.what, amount=amount, start=start, ramp=ramp)


def mixed(count, seed=1):
    """Bodies × pedals × wiring × engines × controllers × monitors × faults and more, drawn; cases that lanes
    take (the exact solver runs the others anyway).
    """
    random = np.random.default_rng(seed)
    pedals, bodies = list(tt.pedals()), list(tt.bodies())
    learns: dict[tuple[str, str], Any] = {}
    drawn = (one(random, k, pedals, bodies, learns) for k in itertools.count())
    return list(itertools.islice((m for m in drawn if not _core.lanes_refusal(m.case)), count))


def one(random, number, pedals, bodies, learns):
    pedal, body = pedals[random.integers(len(pedals))], bodies[random.integers(len(bodies))]
    wiring = "harness" if random.random() < 0.2 else "ideal"
    engines = _core.built_in_engines()
    engine = engines[random.integers(len(engines))] if random.random() < 0.2 else None
    nominal = _core.BenchParameters(
        pedal=tt.pedals()[pedal], body=tt.bodies()[body], wiring={"kind": wiring}, engine=engine
    )
    pair = pedal, body, wiring
    if pair not in learns:
        learns[pair] = _core.run_learn(_core.Case(parameters=nominal, stroke=STROKES[0])).result
    friction = nominal.body.mechanics.friction
    wear = random.uniform(0.7, 1.4)
    parameters = nominal.replace(
        {
            "case_number": number,
            "supply": random.uniform(11.0, 15.0),
            "body.mechanics.friction.coulomb": wear * friction.coulomb,
            "body.mechanics.friction.breakaway": wear * friction.breakaway,
            "body.mechanics.inertia": random.uniform(0.9, 1.1) * nominal.body.mechanics.inertia,
            "body.mechanics.motor.resistance": random.uniform(0.9, 1.2)
            * nominal.body.mechanics.motor.resistance,
            "acquisition.bits": int(random.choice([10, 12])),
            "monitor": MONITORS[random.integers(len(MONITORS))](),
            **CONTROLLERS[random.integers(len(CONTROLLERS))],
        }
    )
    for side in ("pedal", "body"):
        for k in range(1, 1 + len(getattr(parameters, side).tracks)):
            parameters = parameters.replace(
                {f"{side}.tracks[{k}].noise": random.choice([0.0, 0.0005, 0.002])}
            )
    strokes = WITH_ENGINE if engine else STROKES
    stroke = strokes[random.integers(len(strokes))]
    faults = [drawn_fault(random, parameters, stroke.time[-1])] if random.random() < 0.85 else []
    brake = BRAKE if random.random() < 0.25 or any(f.where == "brake" for f in faults) else None
    learn = "fresh" if random.random() < 0.96 else "none"
    case = _core.Case(parameters=parameters, stroke=stroke, learn=learn, faults=faults, brake=brake)
    more = (", harness" if wiring == "harness" else "") + (f", {engine.name}" if engine else "")
    told = (
        f"{pedal} × {body}{more}, " + (faults[0].text if faults else "healthy") + (", brake" if brake else "")
    )
    return Mixed(case, learns[pair] if learn == "fresh" else None, tuple(faults), brake, f"{number}: {told}")


def verdict(case, learned, result):
    """The verdict columns of a campaign: answer, codes, status, finding on idle; rules."""
    known = learned.range if learned and learned.accepted else None
    found = tt.evaluate(result.record, parameters=case.parameters, learned=known)
    rules = tuple((v.rule, v.finding) for v in found)
    codes = " ".join(code.text for code in result.codes)
    idle = result.idle.finding if result.idle else ""
    return result.response, codes, result.outcome.status, idle, rules


def exact(case, learned):
    return verdict(case, learned, _core.run_case(case, learned=learned, trace=True))


def in_lanes(many, threads=0, substep=2e-4):
    """The verdicts of the lanes in steps of `substep` seconds, 64 cases at a time: records are large."""
    for begin in range(0, len(many), 64):
        part = many[begin : begin + 64]
        cases, learned = [m.case for m in part], [m.learned for m in part]
        found = _core.run_lanes(cases, learned, trace=True, threads=threads, substep=substep)
        yield from (verdict(m.case, m.learned, r) for m, r in zip(part, found, strict=True))


def changed(m, faults=None, **paths):
    """The case with other parameters or faults."""
    replaced = m.case.parameters.replace({name.replace("__", "."): value for name, value in paths.items()})
    wrong = list(m.faults if faults is None else faults)
    return _core.Case(parameters=replaced, stroke=m.case.stroke, learn=m.learn, faults=wrong, brake=m.brake)


def redrawn(m, further):
    """The case with noise of its own."""
    return changed(m, case_number=m.case.parameters.case_number + further)


def neighbours(m):
    """The case again, in ways that no verdict should hang on."""
    p = m.case.parameters
    friction = p.body.mechanics.friction
    for k in range(1, 13):
        yield redrawn(m, 1_000_000 * k)
    for share in (0.999, 1.001):
        yield changed(m, supply=share * p.supply)
        yield changed(
            m,
            body__mechanics__friction__coulomb=share * friction.coulomb,
            body__mechanics__friction__breakaway=share * friction.breakaway,
        )
        for f in m.faults:
            moved = _core.Fault(
                where=f.where, what=f.what, amount=share * f.amount, start=f.start, ramp=f.ramp
            )
            yield changed(m, [moved])
    yield changed(m, tolerance=1e-8)


def explained(m, ours, theirs):
    """Whether the exact solver comes to the lanes' verdict too, near the case; column by column."""
    wanted = _columns(ours)
    left = {place for place, theirs_there in enumerate(_columns(theirs)) if wanted[place] != theirs_there}
    for near in neighbours(m):
        found = _columns(exact(near, m.learned))
        left = {place for place in left if found[place] != wanted[place]}
        if not left:
            return True
    return False


def told(ours, theirs):
    """Where two verdicts differ, in words."""
    pairs = zip(_columns(ours), _columns(theirs), strict=True)
    return "; ".join(f"{a} against {b}" for a, b in pairs if a != b)


def apart(ours, theirs):
    """How many columns differ."""
    return sum(a != b for a, b in zip(_columns(ours), _columns(theirs), strict=True))


def columns():
    """How many verdict columns a case has."""
    return 4 + len(tt.rules())


def _columns(verdict):
    *single, rules = verdict
    return [*single, *rules]
