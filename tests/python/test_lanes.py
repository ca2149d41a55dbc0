# SPDX-License-Identifier: BSD-3-Clause
"""Cases side by side in lanes, against the exact solver run beside them."""

from __future__ import annotations

import time

import numpy as np
import pytest

import twintrack as tt
from twintrack import _core

# Large and small steps on both sides of the default position.
KNOTS = [
    *((0.3, 0.33), (1.2, 0.90), (2.2, 0.50), (3.2, 0.10), (4.0, 0.20), (4.8, 0.03)),
    *((5.6, 0.67), (6.4, 0.68), (6.9, 0.67), (7.4, 0.22), (8.2, 0.83), (9.2, 0.03)),
]


def stroke():
    times, travel = [0.0], [0.2]
    for at, share in KNOTS:
        times += [at, at + 0.02]
        travel += [travel[-1], share]
    return tt.Stroke(time=[*times, 10.0], travel=[*travel, travel[-1]])


class Player:
    """A controller that plays what was recorded."""

    def __init__(self, ticks):
        self.ticks = iter(ticks)

    def step(self, _given):
        mode, duty = next(self.ticks)
        return _core.Command(mode=mode, duty=duty)


def played_by(bench):
    """Ten seconds of the closed loop, then the blade is thrown against both stops."""
    session = bench.session(stroke())
    commands = [session.step().command for _ in range(10_000)]
    thrown = [("drive", 0.5)] * 400 + [("drive", -0.5)] * 400 + [("high_impedance", 0.0)] * 200
    return [(c.mode, c.duty) for c in commands] + thrown


def exact_angles(parameters, learned, ticks):
    fine = parameters.replace({"tolerance": 1e-9})
    rest = tt.Stroke.rest(len(ticks) * 1e-3)
    session = _core.Session(fine, rest, learned=learned, controller=Player(ticks))
    return np.array([session.step().blade_angle for _ in ticks])


def distances(mechanics, angles, exact):
    """Largest distance [degrees] outside and inside the 40 ms from an impact on a stop."""
    stops = mechanics.stops
    touching = (exact < stops.closed_angle) | (exact > stops.open_angle)
    near = np.zeros(len(exact), bool)
    for k in np.flatnonzero(touching[1:] & ~touching[:-1]):
        near[k + 1 : k + 41] = True
    off = np.degrees(np.abs(angles - exact))
    return off[~near].max(), off[near].max()


#: This project's own goals [degrees] by step [s]: away from an impact on a stop, and in the 40 ms after one.
GOALS = {2e-4: (0.01, 0.04), 1e-4: (0.004, 0.04)}


@pytest.mark.parametrize("name", list(tt.bodies()))
def test_the_body_in_fixed_steps_keeps_to_the_exact_engine(name):
    bench = tt.Bench(pedal="half-slope-low", body=name, wiring={"kind": "ideal"})
    assert bench.learn().accepted
    ticks = played_by(bench)
    p = bench.parameters
    exact = exact_angles(p, bench.learned, ticks)
    errors = []
    for substep, goal in GOALS.items():
        angles = _core.replay_lanes(
            p.body.mechanics,
            p.bridge,
            supply=p.supply,
            modes=[mode for mode, _ in ticks],
            duties=[duty for _, duty in ticks],
            substep=substep,
        )
        elsewhere, near = distances(p.body.mechanics, angles, exact)
        assert elsewhere <= goal[0], (substep, elsewhere)
        assert near <= goal[1], (substep, near)
        errors.append(elsewhere)
    assert errors[1] < errors[0] / 2.5  # a method of second order


def cases(count, **changes):
    parameters = _core.BenchParameters(
        pedal=tt.pedals()["half-slope-low"], body=tt.bodies()["opposed-six"], wiring={"kind": "ideal"}
    )
    drive = tt.Stroke(time=[0, 0.4, 0.5, 1.2], travel=[0, 0, 0.6, 0.6])
    return [
        _core.Case(parameters=parameters.replace({"case_number": k} | changes), stroke=drive)
        for k in range(count)
    ]


def test_answers_are_those_of_single_cases():
    many = cases(8)
    learned = _core.run_learn(many[0]).result
    together = _core.run_lanes(many, [learned] * 8, trace=True)
    for case, ours in zip(many, together, strict=True):
        alone = _core.run_case(case, learned=learned, trace=True)
        assert ours.response == alone.response == "right"
        assert ours.outcome.status == "completed"
        assert ours.record.names == alone.record.names
        for name in ("pedal.track1", "demand", "set_point"):
            same = ours.record[name] == alone.record[name]
            assert same.all() if name != "set_point" else same.mean() > 0.8
        assert np.abs(ours.record["blade.opening"] - alone.record["blade.opening"]).max() < 2e-3


def test_the_same_bits_on_any_thread_count_and_instruction_set():
    many = cases(40)
    learned = [_core.run_learn(many[0]).result] * 40
    reference = [r.unasked_opening for r in _core.run_lanes(many, learned, threads=1)]
    assert len(set(reference)) > 30  # each has its own noise
    for options in [{"threads": 3}, *({"instruction_set": s} for s in _core.instruction_sets())]:
        assert [r.unasked_opening for r in _core.run_lanes(many, learned, **options)] == reference


def test_figures_of_replicas_count_the_noise_on():
    [case] = cases(1)
    learned = _core.run_learn(case).result
    figures = _core.lane_figures([case], [learned], replicas=40)
    assert all(len(column) == 40 for column in figures.values())
    assert len(set(figures["mean_error"])) > 30
    own = _core.lane_figures(cases(40), [learned] * 40)
    for name, column in figures.items():
        np.testing.assert_array_equal(column, own[name])


def test_what_cannot_run_in_lanes_is_refused():
    [simple] = cases(1, **{"body.mechanics.friction.kind": "simple"})
    assert "bristle friction" in _core.lanes_refusal(simple)
    assert _core.lanes_refusal(cases(1)[0]) == ""
    with pytest.raises(_core.InvalidParameter, match=r"cases\[2\]\.bench\.body\.mechanics\.friction\.kind"):
        _core.run_lanes([*cases(1), simple], [None, None])
    for run in (_core.run_lanes, _core.lane_figures):
        with pytest.raises(_core.InvalidParameter, match="one learn is needed per case"):
            run(cases(2), [None])


def test_a_brake_and_a_function_monitor_are_recorded_as_by_the_exact_solver():
    """Beside a case that has neither."""
    [plain] = cases(1)
    watched = plain.parameters.replace({"monitor": _core.monitor_strict()})
    brake = tt.Stroke(time=[0.0, 0.6, 0.7, 1.2], travel=[0.0, 0.0, 0.4, 0.4])
    both = [plain, _core.Case(parameters=watched, stroke=plain.stroke, brake=brake)]
    learned = _core.run_learn(plain).result
    ours = _core.run_lanes(both, [learned] * 2, trace=True)
    for case, result in zip(both, ours, strict=True):
        alone = _core.run_case(case, learned=learned, trace=True)
        assert result.record.names == alone.record.names
        assert [str(c) for c in result.codes] == [str(c) for c in alone.codes]
    np.testing.assert_array_equal(ours[1].record["brake.volts"], alone.record["brake.volts"])
    assert ours[1].record["brake"].max() == pytest.approx(0.4)


def test_ctrl_c_ends_it(monkeypatch):
    import _thread
    import threading

    many = cases(200) * 100
    timer = threading.Timer(0.2, _thread.interrupt_main)
    began = time.monotonic()
    timer.start()
    with pytest.raises(KeyboardInterrupt):
        _core.run_lanes(many, [None] * len(many), threads=1)
    assert time.monotonic() - began < 20
