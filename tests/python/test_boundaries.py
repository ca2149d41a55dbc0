# SPDX-License-Identifier: BSD-3-Clause
"""Columns of the tables where a limit decides: on both sides of it and on the step, worked out by hand."""

import math
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest

import twintrack as tt
from twintrack.designs import idle_columns
from twintrack.designs.audit import judge
from twintrack.designs.learning import consequences
from twintrack.designs.search.sections import distribution
from twintrack.experiments.plan import load
from twintrack.experiments.store import BLOCK, Store
from twintrack.studies.fault_text import fault_text

# --- what an accepted learn did


@pytest.mark.parametrize(
    ("time", "travel", "expected"),
    [
        ([0, 1, 2, 4], [0, 0, 0.5, 0.5], [(0, 1, 0), (2, 4, 0.5)]),
        ([0, 0.999, 2, 4], [0, 0, 0.5, 0.5], [(2, 4, 0.5)]),  # a hold shorter than a second
        ([0, 0.5, 1, 2], [0, 0, 0, 1], [(0, 1, 0)]),  # two pieces of one hold
        ([0, 0.9, 1.0, 1.9], [0, 0, 1, 1], []),  # two of 0.9 s, which are not one
        ([0, 1, 2, 3], [0, 1, 0, 1], []),
    ],
)
def test_holds_of_a_stroke(time, travel, expected):
    assert consequences.holds(tt.Stroke(time=time, travel=travel)) == expected


def reached(time, travel, asked, blade, period=0.1):
    rows = np.arange(round(time[-1] / period) + 1) * period
    record = tt.record_of(rows, {"asked": asked(rows), "blade.opening": blade(rows)})
    return consequences._reached(tt.Stroke(time=time, travel=travel), record)


def test_a_place_is_the_mean_of_the_last_three_tenths_of_its_hold():
    """Rest to 2 s: rows 1.8, 1.9, 2.0 s read 0.03, 0.06, 0.09, mean 0.06; the row at 1.7 s is out."""
    blade = lambda t: np.select([t < 1.75, t < 1.85, t < 1.95, t < 2.05], [1.0, 0.03, 0.06, 0.09], 0.0)  # noqa: E731
    found = reached([0, 2, 3], [0, 0, 1], lambda t: 0.01 + 0.0 * t, blade)
    assert found["reached_rest"] == pytest.approx(0.06, abs=1e-12)
    assert found["asked_rest"] == pytest.approx(0.01, abs=1e-12)
    for place in ("half", "full"):
        assert math.isnan(found[f"asked_{place}"])
        assert math.isnan(found[f"reached_{place}"])


@pytest.mark.parametrize(
    ("travel", "place"),
    [(0.0, "rest"), (0.0199, "rest"), (0.02, "half"), (0.98, "half"), (0.9801, "full"), (1.0, "full")],
)
def test_rest_and_full_are_the_last_two_percent_of_travel(travel, place):
    found = reached([0, 2], [travel, travel], lambda t: 0.0 * t, lambda t: 0.25 + 0.0 * t)
    names = [name for name in ("rest", "half", "full") if not math.isnan(found[f"reached_{name}"])]
    assert names == [place]


@pytest.mark.parametrize(("first", "second", "furthest"), [(0.5, 0.42, 0.5), (0.42, 0.3, 0.3)])
def test_of_two_holds_the_one_furthest_off_counts(first, second, furthest):
    """Asked 0.4 twice: 0.1 against 0.02 off, then 0.02 against 0.1 to the other side."""
    blade = lambda t: np.where(t < 2.5, first, second)  # noqa: E731
    found = reached([0, 2, 3, 4, 6], [0.5, 0.5, 1.0, 0.5, 0.5], lambda t: 0.4 + 0.0 * t, blade)
    assert found["reached_half"] == pytest.approx(furthest, abs=1e-12)


def stop(touching, duty, speed, current, stall=4.0, period=0.1):
    rows = np.arange(len(duty)) * period
    signals = {"duty": duty, "blade.speed": speed, "motor.current": current}
    record = tt.record_of(rows, {name: np.asarray(v, float) for name, v in signals.items()})
    return consequences._stop(record, "closed", np.array(touching, dtype=bool), -1.0, stall)


def test_a_stop_by_hand():
    """Comes onto the stop after row 1 (|−7| rad/s) and after row 4 (3 rad/s); pushed closed in rows 2 and 5
    only (row 3 pushes open, row 0 does not touch): 0.2 s with 3 and −4 A, rms √12.5, mean 3.5."""
    found = stop([0, 0, 1, 1, 0, 1], [-1, -1, -0.5, 0.5, -1, -1], [1, -7, 0, 0, 3, 9], [9, 9, 3, 9, 9, -4])
    assert found["closed_impact_rad_s"] == 7.0
    assert found["closed_held_s"] == pytest.approx(0.2, abs=1e-12)
    assert found["closed_current_rms_a"] == pytest.approx(math.sqrt(12.5), abs=1e-12)
    assert found["closed_current_mean_a"] == pytest.approx(3.5, abs=1e-12)
    assert found["closed_hot"] is False


def test_a_stop_that_is_never_touched():
    found = stop([0, 0], [-1, -1], [5, 5], [3, 3])
    assert list(found.values()) == [0.0, 0.0, 0.0, 0.0, False]


@pytest.mark.parametrize(
    ("rows", "current", "hot"),
    [
        (11, 2.5, True),
        (10, 2.5, False),
        (11, 2.0, False),
    ],  # 1.1 s; 1.0 s on the limit; half of 4 A on the limit
)
def test_a_motor_is_hot_beyond_a_second_at_more_than_half_of_the_stall_current(rows, current, hot):
    n = rows + 1
    found = stop([0] + rows * [1], n * [-1.0], n * [0.0], n * [current])
    assert found["closed_hot"] is hot


# --- what a fault did


def audited(blade, codes=(), reaction=None, start=1.0, resting=0.07, **more):
    n = len(blade)
    signals = {"blade.opening": blade, "asked": np.zeros(n)}
    signals["reaction"] = np.zeros(n) if reaction is None else reaction
    record = tt.record_of(np.arange(n) * 1e-3, signals | {k.replace("__", "."): v for k, v in more.items()})
    codes = [SimpleNamespace(confirmed=t, text=text, meaning=meaning) for t, text, meaning in codes]
    outcome = SimpleNamespace(status="completed", reason="")
    result = SimpleNamespace(record=record, codes=codes, outcome=outcome)
    return judge.assess(result, np.zeros(n), start, resting)


def test_a_code_at_the_tick_of_the_fault_counts_and_one_before_does_not():
    found = audited(
        np.zeros(2000), [(0.999, "P0001", "before"), (1.0, "P0002", "at"), (1.2, "P0003", "after")]
    )
    assert (found["codes"], found["detected_by"], found["fdti_s"]) == ("P0002 P0003", "at", 0.0)
    assert found["reaction"] == "none"
    assert math.isnan(found["frti_s"])
    assert math.isnan(found["fhti_s"])


@pytest.mark.parametrize(("opening", "returned"), [(0.09, True), (0.0901, False)])
def test_home_is_two_percent_above_the_default_position(opening, returned):
    """0.07 + 0.02, the limit itself included; the motor is off from the code at 1.1 s on."""
    time = np.arange(2000) * 1e-3
    off = (time >= 1.1) * float(tt.reactions().index("motor off"))
    found = audited(np.where(time < 1.5, 0.5, opening), [(1.1, "P0002", "x")], off)
    assert found["return_s"] == pytest.approx(0.4, abs=1e-9) if returned else math.isnan(found["return_s"])


@pytest.mark.parametrize(("from_row", "trip"), [(1000, 0.0), (999, 0.0), (1001, 0.001), (2500, math.nan)])
def test_a_trip_is_counted_from_the_fault_on(from_row, trip):
    """The fault comes at row 1000. A signal set earlier counts from there."""
    signal = (np.arange(2000) >= from_row) * 1.0
    found = audited(np.zeros(2000), device__tripped=signal)
    assert found["device_s"] == pytest.approx(trip, abs=1e-12, nan_ok=True)
    assert found["detected_by"] == ("" if math.isnan(trip) else "independent device")


def test_the_highest_rung_after_the_detection_is_the_reaction():
    """Rung 1 before the code at 1.1 s, 2 after it, then 1 again."""
    rungs = np.zeros(2000)
    rungs[1050:], rungs[1200:], rungs[1300:] = 1.0, 2.0, 1.0
    found = audited(np.zeros(2000), [(1.1, "P0002", "x")], rungs)
    assert found["reaction"] == tt.reactions()[2]


# --- idle in words


@pytest.mark.parametrize(
    ("value", "shape", "column", "text"),
    [
        (math.inf, "{:.2f}", "idle_stop_time_s", "never"),
        (math.nan, "{:.2f}", "idle_settling_time_s", "never"),
        (math.nan, "{:.2f}", "idle_return_time_s", "never"),
        (math.nan, "{:.0f}", "idle_rpm", "–"),
        (-12.4, "{:.0f}", "idle_deviation_rpm", "−12"),
        (0.0514, "{:.1%}", "idle_opening", "5.1"),
        (-0.0514, "{:.1%}", "idle_opening", "−5.1"),
        (-0.0001, "{:.1%}", "idle_opening", "0.0"),  # no minus sign before a zero
    ],
)
def test_cells_of_the_idle_table(value, shape, column, text):
    assert idle_columns._cell(value, shape, column) == text


def test_the_idle_table_is_sorted_and_says_how_many_are_left_out():
    rows = [
        idle_columns.EMPTY | {"idle_finding": name, "pedal": "p", "body": name, "learn": "fresh", "codes": ""}
        for name in ("right", "", "dangerous", "noticed", "wrong")
    ]
    table = idle_columns.table(pd.DataFrame(rows), most=3)
    assert [row[1].split(" + ")[1].split(",")[0] for row in table.rows] == ["dangerous", "wrong", "noticed"]
    assert table.more == 2


# --- learns that scatter, blocks of a store


SCATTERED = """pedals = ["half-slope-high"]
bodies = ["half-slope-six"]
learn = ["fresh"]
stroke = {{ time = ["0 s", "1 s"], travel = [0.0, 0.0] }}
[[faults]]
where = "throttle.track1"
what = "gain"
from = "0.5 s"
amount = 0.9
[tolerances]
{}
"""
RESISTANCE = '"body.mechanics.motor.resistance" = {{ uniform = [0.9, 1.1], as = "factor"{} }}'


@pytest.mark.parametrize(
    ("tolerance", "scatters"),
    [
        (RESISTANCE.format(""), True),
        (RESISTANCE.format(", after_learn = true"), False),
        ('"faults[1].amount" = { uniform = [0.8, 0.9] }', False),
    ],
)
def test_what_scatters_before_the_learn_is_learned_case_by_case(tmp_path, tolerance, scatters):
    path = tmp_path / "study.toml"
    path.write_text(SCATTERED.format(tolerance))
    assert load(path).learns_scatter is scatters


def test_missing_cases_are_asked_for_block_by_block(tmp_path):
    """Blocks of 65,536 cases: what is missing never reaches from one into the next."""
    store = Store(tmp_path)
    assert BLOCK == 65_536
    assert store.missing(BLOCK) == [(0, BLOCK)]
    assert store.missing(BLOCK + 1) == [(0, BLOCK), (BLOCK, BLOCK + 1)]
    assert store.missing(0) == []
    store.files = lambda: [(10, 20, None), (20, 30, None), (40, 50, None)]
    assert store.missing(45) == [(0, 10), (30, 40)]
    assert store.missing(60) == [(0, 10), (30, 40), (50, 60)]
    assert store.finished() == 30


# --- words and curves of the pages


@pytest.mark.parametrize(
    ("fault", "text"),
    [
        (("throttle.track1", "offset", -0.12), "offset of throttle.track1, −0.12"),
        (("blade", "torque", 2.5), "torque of blade, 2.5 N*m"),
        (("throttle.track1", "frozen", 0.0), "frozen of throttle.track1"),
        (("pedal signal 1", "series", 1200.0), "'pedal signal 1' with 1200 ohm in series"),
    ],
)
def test_a_fault_in_words_has_its_amount(fault, text):
    where, what, amount = fault
    assert fault_text(tt.Fault(where=where, what=what, amount=amount)) == text


def test_a_distribution_steps_where_values_are_the_same():
    """Of −1, 2, 2, 2 a quarter is below 2 and all is at most 2."""
    x, shares = distribution(np.array([2.0, -1.0, 2.0, 2.0]))
    assert shares == [0.0, 25.0, 25.0, 100.0]
    assert x == pytest.approx([-1.0, -1.0, 2.0, 2.0], abs=1e-5)
    assert np.all(np.diff(x) > 0.0)
