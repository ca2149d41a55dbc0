# SPDX-License-Identifier: BSD-3-Clause
"""Monitor, range learn and controller of one's own, each alone, by hand and on a bench. The
built-in ones, made by the same factories, are the reference."""

import copy

import numpy as np
import pytest

import twintrack as tt

STROKE = tt.Stroke(time=[0, 0.5, 0.7, 1.6, 1.8, 2.4], travel=[0, 0, 0.6, 0.6, 0, 0])


@pytest.fixture(scope="module")
def bench():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    return bench


def same_record(a, b):
    for name in a.record.names:
        np.testing.assert_array_equal(a.record[name], b.record[name], err_msg=name)


class Wrapped:
    """The built-in monitor from Python."""

    def __init__(self, learned, bench, period):
        assert period == bench.control_period
        self.monitor = tt.make_monitor(bench, learned)

    def step(self, seen, last):
        return self.monitor.step(seen, last)


def drift(start):
    return tt.Fault(where="pedal.track1", what="offset", amount=0.2, start=start)


@pytest.mark.parametrize("faults", [[], [drift(1.0)]])
def test_the_built_in_monitor_by_the_factory_gives_the_same_bits(bench, faults):
    plain = bench.run(STROKE, faults=faults)
    own = bench.run(STROKE, faults=faults, monitor=Wrapped)
    same_record(plain, own)
    told = [(c.text, c.meaning, c.confirmed) for c in plain.codes]
    assert [(c.text, c.meaning, c.confirmed) for c in own.codes] == told
    assert bool(told) == bool(faults)


def test_the_built_in_learn_by_the_factory_gives_the_same_bits(bench):
    plain = bench.learn()
    own = tt.Bench(pedal="half-slope-low", body="opposed-six").learn(
        unit=lambda before, p, _: tt.make_learn(p, before)
    )
    assert own.accepted
    same_record(plain, own)
    for side in ("pedal", "throttle"):
        for a, b in zip(getattr(plain.range, side), getattr(own.range, side), strict=True):
            np.testing.assert_array_equal(a.curve, b.curve)


class Cautious:
    """Cuts fuel and power while the pedal is down, with a code of its own."""

    def step(self, seen, last):
        if last.pedal < 0.3:
            return "none"
        orders = tt.Action(motor_permitted=False, fuel_permitted=False, demand_limit=0.0)
        return tt.MonitorAnswer("motor off", ["OWN: foot down"], orders)


def test_orders_codes_and_healing(bench):
    run = bench.run(STROKE, monitor=Cautious())
    assert run.outcome.ok
    assert [c.text for c in run.codes] == ["OWN: foot down"]
    (entry,) = [e for e in run.history.entries() if e.code.text == "OWN: foot down"]
    assert (entry.state, entry.count) == ("healed", 1)
    assert entry.frame is not None
    duty, pedal = run.record["duty"], run.record["pedal.travel"]
    down = np.flatnonzero(pedal > 0.35)
    assert np.all(duty[down[5:]] == 0.0)
    assert np.any(duty[: down[0]] != 0.0)
    session = bench.session(STROKE, monitor=Cautious())
    seen = [session.step(pedal=0.8) for _ in range(600)][-1]
    assert (seen.reaction, seen.action.fuel_permitted) == ("motor off", False)


def test_a_standard_code_keeps_its_meaning(bench):
    class Says:
        def step(self, seen, last):
            return tt.MonitorAnswer(codes=["P2135-62"])

    (code,) = bench.run(duration=0.01, monitor=Says()).codes
    assert (code.code, code.failure_type) == ("P2135", "62")
    assert "voltage correlation" in code.meaning


class Answers:
    def __init__(self, answer):
        self.answer = answer

    def step(self, seen, last=None):
        usual = "none" if last is not None else tt.Command()
        return usual if seen.time < 0.02 else self.answer()


@pytest.mark.parametrize(
    ("answer", "reason"),
    [
        (lambda: tt.MonitorAnswer("horror"), "the monitor failed: reaction: "),
        (
            lambda: 3,
            "the monitor failed: step() must return a MonitorAnswer or the name of a reaction; got int",
        ),
        (
            lambda: tt.MonitorAnswer(codes=["<b>"]),
            "the monitor answered the code '<b>'; allowed: 1 to 32 letters",
        ),
        (
            lambda: tt.MonitorAnswer(orders=tt.Action(demand_limit=2.0)),
            "the monitor failed: InvalidParameter",
        ),
        (lambda: tt.MonitorAnswer(pedal_trust=[True]), "trust three flags"),
        (lambda: 1 / 0, "the monitor failed: ZeroDivisionError: division by zero (test_own_units.py, line"),
    ],
)
def test_a_monitor_that_fails_ends_its_run_with_unit_tick_and_field(bench, answer, reason):
    run = bench.run(duration=0.1, monitor=Answers(answer))
    assert run.outcome.status == "unit failed"
    assert run.outcome.when == pytest.approx(0.02)
    assert reason in run.outcome.reason
    assert run.outcome.reason.endswith("(tick 20)")
    assert len(run.record.time) == 20


@pytest.mark.parametrize(
    ("answer", "reason"),
    [
        (lambda: tt.Command(duty=3.0), "the learn answered duty = 3; allowed: -1 to 1 (tick 20)"),
        (
            lambda: "accepted",
            "the learn failed: step() must return a Command or a LearnAnswer; got str (tick 20)",
        ),
        (lambda: 1 / 0, "the learn failed: ZeroDivisionError"),
    ],
)
def test_a_learn_that_fails_is_no_learn(bench, answer, reason):
    run = tt.Bench(pedal="half-slope-low", body="opposed-six").learn(unit=Answers(answer))
    assert (run.accepted, run.refusal, run.outcome.status) == (False, "unit failed", "unit failed")
    assert run.reason.startswith(reason)


def test_a_learn_of_ones_own_accepts_or_refuses_with_its_reason(bench):
    known = bench.learned
    for end, accepted in ((tt.LearnAnswer(accepted=known), True), (tt.LearnAnswer(refused="No."), False)):
        fresh = tt.Bench(pedal="half-slope-low", body="opposed-six")
        run = fresh.learn(unit=Answers(lambda end=end: end))
        assert (run.accepted, run.reason) == (accepted, "" if accepted else "No.")
        assert (fresh.learned is not None) == accepted
        assert run.outcome.when == pytest.approx(0.02)


class Counting:
    """A monitor with a state: motor off after so many calls."""

    made = 0

    def __init__(self, *_given):
        Counting.made += 1
        self.calls = 0

    def step(self, seen, last):
        self.calls += 1
        return "motor off" if self.calls > 400 else "none"


def test_a_fork_copies_the_monitor_with_its_state(bench):
    session = bench.session(STROKE, monitor=Counting())
    for _ in range(300):
        session.step()
    fork, saved = session.fork(), session.save()
    ahead = [session.step().reaction for _ in range(200)]
    assert ahead.count("motor off") == 100
    assert [fork.step().reaction for _ in range(200)] == ahead
    session.restore(saved)
    assert [session.step().reaction for _ in range(200)] == ahead


def test_a_factory_is_called_again_after_a_reset_of_the_controller(bench):
    dip = [tt.Fault(where="supply", what="scale", amount=0.1, start=0.5, end=0.6)]
    for given, made in ((Counting, 2), (Counting(), 0)):
        Counting.made = 0
        run = bench.run(STROKE, faults=dip, monitor=given)
        assert run.outcome.ok
        assert not run.record["controller.awake"].all()
        assert Counting.made == made


def test_a_made_monitor_can_be_copied(bench):
    monitor = tt.make_monitor(bench.parameters, bench.learned)
    other = copy.deepcopy(monitor)
    bad = tt.ControlInput(time=0.0, pedal=[0.0, 0.0], throttle=[0.0, 0.0])
    for _ in range(500):
        answer = monitor.step(bad, tt.Command())
    assert answer.reaction != "none"
    assert other.step(bad, tt.Command()).reaction == "none"
