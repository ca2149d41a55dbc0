# SPDX-License-Identifier: BSD-3-Clause
"""A session moved by hand from Python, the plant alone, and controllers of one's own that fail."""

import pickle
import threading

import numpy as np
import pytest

import twintrack as tt

STROKE = tt.Stroke(time=[0, 0.2, 0.4, 1.2, 1.4], travel=[0, 0, 0.6, 0.6, 0])


@pytest.fixture(scope="module")
def bench():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    return bench


def steps(session, count, **held):
    return [session.step(**held if k == 0 else {}).blade_opening for k in range(count)]


def test_a_live_foot(bench):
    session, reference = bench.session(STROKE), bench.session(tt.Stroke(time=[0, 1], travel=[0.25, 0.25]))
    assert steps(session, 300, pedal=0.25) == steps(reference, 300)
    session.release_pedal()
    session.step()
    assert session.snapshot.pedal_travel == pytest.approx(0.3)  # the stroke at 0.3 s
    with pytest.raises(tt.InvalidParameter, match="pedal"):
        session.step(pedal=1.5)
    with pytest.raises(tt.InvalidParameter, match="begun without a brake"):
        session.step(brake=0.1)
    assert bench.session(STROKE, brake=tt.Stroke.rest(duration=1.0)).step(brake=0.4).braking == 0.4


def test_fork_and_restore_have_the_same_bits(bench):
    session = bench.session(STROKE)
    steps(session, 500)
    fork, saved = session.fork(), session.save()
    expected = steps(session, 400)
    assert steps(fork, 400) == expected
    session.restore(saved)
    assert session.time == 0.5
    assert steps(session, 400) == expected
    session.restore(saved)
    assert steps(session, 400, pedal=1.0) != expected


def test_a_fault_that_comes_and_goes_by_hand(bench):
    whole = bench.session(
        STROKE, faults=[tt.Fault(where="pedal.track1", what="offset", amount=0.1, start=0.5, end=0.7)]
    )
    session = bench.session(STROKE)
    expected = steps(whole, 1000)
    found = steps(session, 500)
    session.inject(tt.Fault(where="pedal.track1", what="offset", amount=0.1))
    assert [fault.what for fault in session.faults] == ["offset"]
    found += steps(session, 200)
    session.remove("pedal.track1", "offset")
    assert found + steps(session, 300) == expected
    assert [code.text for code in session.codes] == [code.text for code in whole.codes] != []
    with pytest.raises(tt.InvalidParameter, match=r"there is no 'offset' at 'pedal\.track1' now"):
        session.remove("pedal.track1", "offset")
    with pytest.raises(tt.InvalidParameter, match="nowhere"):
        session.inject(tt.Fault(where="nowhere", what="open"))


class Counting:
    """A controller with a state: forks must not share it."""

    def __init__(self):
        self.ticks = 0

    def step(self, _seen):
        self.ticks += 1
        return tt.Command(mode="drive", duty=0.001 * self.ticks)


def test_a_fork_has_a_controller_of_its_own(bench):
    own = Counting()
    session = bench.session(STROKE, controller=own)
    steps(session, 100)
    fork = session.fork()
    steps(fork, 50)
    assert own.ticks == 100
    steps(session, 50)
    np.testing.assert_array_equal(session.record["duty"], fork.record["duty"])
    assert own.ticks == 150


class Wrong:
    def __init__(self, answer):
        self.answer = answer

    def step(self, seen):
        return tt.Command() if seen.time < 0.01 else self.answer()


@pytest.mark.parametrize(
    ("answer", "reason"),
    [
        (lambda: tt.Command(mode="drive", duty=3.0), "the controller answered duty = 3; allowed: -1 to 1"),
        (lambda: tt.Command(duty=float("nan")), "the controller answered duty = nan; allowed: -1 to 1"),
        (lambda: tt.Command(set_point=float("inf")), "set_point = inf; allowed: a finite number"),
        (lambda: 0.5, "the controller failed: step() must return a Command; got float"),
        (lambda: None, "the controller failed: step() must return a Command; got NoneType"),
        (
            lambda: 1 / 0,
            "the controller failed: ZeroDivisionError: division by zero (test_session_by_hand.py, ",
        ),
    ],
)
def test_a_controller_that_fails_ends_its_run(bench, answer, reason):
    run = bench.run(duration=0.1, controller=Wrong(answer))
    assert run.outcome.status == "unit failed"
    assert run.outcome.when == pytest.approx(0.01)
    assert reason in run.outcome.reason
    assert run.record.time[-1] == pytest.approx(0.009)


def test_ctrl_c_within_a_controller_reaches_the_caller(bench):
    def stop():
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        bench.run(duration=0.1, controller=Wrong(stop))


def test_an_input_of_ones_own():
    seen = tt.ControlInput(time=1.5, pedal=[0.2, 0.4], throttle=[0.5], supply=12.0, motor_permitted=False)
    assert (seen.time, seen.supply, seen.motor_permitted) == (1.5, 12.0, False)
    assert seen.pedal.tolist() == [0.2, 0.4, 0.0]
    assert seen.throttle.tolist() == [0.5, 0.0, 0.0]
    with pytest.raises(tt.InvalidParameter, match="at most three"):
        tt.ControlInput(pedal=[0.1] * 4)
    with pytest.raises(tt.InvalidParameter, match=r"ControlInput\.supply"):
        tt.ControlInput(supply=float("nan"))


def test_the_plant_alone_is_the_bench_under_the_same_duties(bench):
    """The duties of a controlled run, played to the plant, give the same currents and angles."""
    session, plant = bench.session(STROKE), bench.plant()
    for _ in range(400):
        seen = session.step()
        told = plant.step(seen.command.duty, mode=seen.command.mode, pedal=seen.pedal_travel)
        assert (told.blade_angle, told.motor_current) == (seen.blade_angle, seen.motor_current)
    assert told.input.throttle.tolist() == seen.input.throttle.tolist()


def test_the_plant_under_volts_and_forked(bench):
    plant = bench.plant()
    plant.step()
    for _ in range(300):
        snapshot = plant.step(volts=4.0)
    assert snapshot.command.duty == pytest.approx(4.0 / snapshot.supply, rel=0.01)
    assert snapshot.blade_opening > 0.5  # 4 V hold a blade of this body open
    fork = plant.fork()
    assert fork.step(0.1).blade_angle == plant.step(0.1).blade_angle
    for _ in range(600):
        snapshot = fork.step(mode="high_impedance")
    assert snapshot.blade_opening < 0.2  # the springs take it back
    for wrong in ({"duty": 1.5}, {"duty": 0.1, "volts": 1.0}, {"volts": 100.0}, {"mode": "forward"}):
        with pytest.raises(tt.InvalidParameter):
            plant.step(**wrong)


def test_sessions_step_beside_each_other(bench):
    """The interpreter's lock is free meanwhile: another thread counts on."""
    counted, done = [0], threading.Event()

    def count():
        while not done.is_set():
            counted[0] += 1

    thread = threading.Thread(target=count)
    thread.start()
    found = steps(bench.session(STROKE), 2000)
    done.set()
    thread.join()
    assert counted[0] > 1000
    assert found == steps(bench.session(STROKE), 2000)


def hold_still(learned, bench, period):
    return tt.make_controller(bench, learned)


@pytest.mark.parametrize("unit", [None, hold_still])
def test_a_pickled_session_goes_on_with_the_same_bits(bench, unit):
    """Also after feet, brakes and faults by hand, and twice."""
    session = bench.session(controller=unit, monitor=None, brake=tt.Stroke(time=[0, 1], travel=[0, 0]))
    for k in range(600):
        session.step(pedal=0.2 + k / 3000) if k < 300 else session.step(brake=0.1 if k == 400 else None)
        if k == 150:
            session.inject(tt.Fault(where="pedal.track1", what="gain", amount=0.05))
        if k == 350:
            session.remove("pedal.track1", "gain")
            session.release_pedal()
    again = pickle.loads(pickle.dumps(session))
    twice = pickle.loads(pickle.dumps(again))
    for _ in range(300):
        session.step(), again.step(), twice.step()
    for name in session.record.names:
        for other in (again, twice):
            np.testing.assert_array_equal(session.record[name], other.record[name], err_msg=name)
    assert again.time == session.time


def test_a_session_that_has_ended_is_pickled_so(bench):
    session = bench.session(controller=ends_at_ten)
    for _ in range(30):
        session.step()
    again = pickle.loads(pickle.dumps(session))
    assert again.outcome.reason == session.outcome.reason != ""
    assert again.outcome.when == session.outcome.when


def ends_at_ten(learned, bench, period):
    return Wrong(lambda: tt.Command(duty=3.0))


def test_what_cannot_be_pickled_says_why(bench):
    session = bench.session(controller=Wrong(tt.Command))
    with pytest.raises(tt.InvalidParameter, match=r"given as it is cannot be pickled.*give a factory"):
        pickle.dumps(session)
    plain = bench.run(duration=0.1)
    before = tt.Session(bench.parameters, tt.Stroke.rest(1.0), learned=bench.learned, history=plain.history)
    with pytest.raises(tt.InvalidParameter, match="codes of earlier key cycles cannot be pickled"):
        pickle.dumps(before)
