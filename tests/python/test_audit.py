# SPDX-License-Identifier: BSD-3-Clause
"""The audit: its faults and instants, what it says of one run, coverage, and errors in the file."""

import math
import types

import numpy as np
import pandas as pd
import pytest

import twintrack as tt
from twintrack.designs.audit import instants as audit
from twintrack.designs.audit import judge
from twintrack.designs.audit import table as audit_table
from twintrack.designs.audit.faults import amounts, single_faults
from twintrack.pages import severity

PAIR = 'pedals = ["half-slope-high"]\nbodies = ["set-a"]\n'
DRIVE = 'stroke = { time = ["0 s", "0.6 s", "0.8 s", "2 s", "2.2 s", "4 s"], travel = [0, 0, 1, 1, 0, 0] }\n'


def write(folder, text):
    (folder / "study.toml").write_text(text)
    return folder / "study.toml"


def bench(pedal="half-slope-high", body="half-slope-six", **more):
    return tt.BenchParameters(pedal=tt.pedal(pedal), body=tt.body(body), **more)


# --- faults and instants


def test_every_kind_the_bench_can_have_is_there():
    faults = single_faults(bench())
    kinds = {(f.where, f.what) for f in faults}
    there = {
        (k.where, k.what)
        for k in tt.fault_catalogue()
        if "track3" not in k.where
        and k.where not in ("brake", "manifold", "pedal.line", "pedal.idle_switch")
        and k.what != "lag"
    }
    # An audit's drive has no brake, this bench no engine, its pedal no idle switch and no box in its line.
    assert kinds >= there
    assert not any(f.where == "pedal.idle_switch" for f in faults)
    with_switch = tt.pedal("half-slope-high").replace(idle_switch=tt.IdleSwitchParameters(fitted=True))
    fitted = bench().replace(pedal=with_switch)
    assert {f.what for f in single_faults(fitted) if f.where == "pedal.idle_switch"} == {
        "stuck_off",
        "stuck_on",
    }
    assert not any("track3" in f.where for f in faults)
    wiring = tt.every_single_wiring_fault(bench().pedal, bench().body)
    assert {f.text for f in wiring} == {f.label for f in faults if f.group == "wiring"}
    assert len({f.label for f in faults}) == len(faults)


def test_three_tracks_have_three_and_ideal_wiring_has_no_faults():
    faults = single_faults(bench("three-track", "half-slope-six", wiring=tt.WiringParameters(kind="ideal")))
    assert any(f.where == "pedal.track3" for f in faults)
    assert not any(f.where == "throttle.track3" for f in faults)
    assert not any(f.group == "wiring" for f in faults)


def test_amounts_are_both_ends_and_a_small_one_but_never_the_healthy_one():
    for kind in tt.fault_catalogue():
        found = amounts(kind)
        if kind.least == kind.most:
            assert found == [0.0]
            continue
        healthy = 1.0 if kind.what in ("gain", "scale") else 0.0
        assert healthy not in found
        assert {kind.least, kind.most} - {healthy} <= set(found)
        assert any(kind.least < amount < kind.most for amount in found), (kind.where, kind.what)


def test_instants_of_the_drive():
    """Times that follow from the points of the drive; the blade crosses between two rows."""
    time = np.arange(9001) * 1e-3
    blade = np.interp(time, [0, 1, 1.5, 9], [0.02, 0.02, 0.42, 0.42])
    found = audit.times(audit.DRIVE, blade, time, 0.10)
    assert list(found) == list(audit.INSTANTS)
    assert found == pytest.approx(
        {"at rest": 0.5, "part load": 2.3, "full": 4.1, "tip-in": 3.2, "tip-out": 5.0, "crossing": 1.1},
        abs=1.01e-3,
    )


def test_a_blade_that_stays_above_never_crosses():
    time = np.arange(9001) * 1e-3
    assert "crossing" not in audit.times(audit.DRIVE, np.full(9001, 0.5), time, 0.1)


# --- one run


OFF = tt.reactions().index("motor off")


def run_of(blade, asked, codes=(), reaction=None, **more):
    n = len(blade)
    record = tt.record_of(
        np.arange(n) * 1e-3,
        {"blade.opening": blade, "asked": asked, "reaction": np.zeros(n) if reaction is None else reaction}
        | {name.replace("__", "."): values for name, values in more.items()},
    )
    codes = [types.SimpleNamespace(confirmed=t, text="P2135-62", meaning="tracks differ") for t in codes]
    outcome = types.SimpleNamespace(status="completed", reason="")
    return types.SimpleNamespace(record=record, codes=codes, outcome=outcome)


def test_times_of_iso_26262_by_hand():
    """Fault at 1.0 s, code at 1.1 s with the motor off, blade safe from 1.3 s on: 100, 200 and 300 ms."""
    time = np.arange(3000) * 1e-3
    blade = np.where((time >= 1.0) & (time < 1.3), 0.9, 0.08)
    found = judge.assess(
        run_of(blade, np.zeros(3000), [1.1], (time >= 1.1) * OFF), np.full(3000, 0.05), 1.0, 0.07
    )
    assert found["fdti_s"] == pytest.approx(0.1, abs=1e-9)
    assert found["frti_s"] == found["return_s"] == pytest.approx(0.2, abs=1e-9)
    assert found["fhti_s"] == pytest.approx(0.3, abs=1e-9)
    assert found["unasked_opening"] == pytest.approx(0.85, abs=1e-12)
    assert found["unasked_time_s"] == pytest.approx(0.299, abs=1e-9)  # first to last row beyond 10 %
    assert (found["hazard"], found["reaction"]) == (False, "motor off")


def test_a_milder_reaction_is_safe_when_nothing_is_unasked_any_more():
    """Fault at 1.0 s, code at 1.1 s; the blade is down at what the foot asks at 1.4 s."""
    time = np.arange(3000) * 1e-3
    blade = np.where((time >= 1.0) & (time < 1.4), 0.9, 0.4)
    limited = (time >= 1.1) * tt.reactions().index("limited")
    found = judge.assess(run_of(blade, np.full(3000, 0.4), [1.1], limited), np.full(3000, 0.4), 1.0, 0.07)
    assert found["reaction"] == "limited"
    assert found["frti_s"] == pytest.approx(0.3, abs=1e-9)
    assert math.isnan(found["return_s"])


@pytest.mark.parametrize(("code", "first"), [(1.3, "function monitor"), (1.1, "tracks differ")])
def test_what_sees_it_first_detects_it(code, first):
    """A function monitor that trips 200 ms after the fault, before or after the monitor's code."""
    time = np.arange(3000) * 1e-3
    blade = np.where((time >= 1.0) & (time < 1.5), 0.9, 0.05)
    found = judge.assess(
        run_of(
            blade,
            np.zeros(3000),
            [code],
            (time >= 1.1) * OFF,
            function_monitor__tripped=(time > 1.1995) * 1.0,
        ),
        *(np.zeros(3000), 1.0, 0.07),
    )
    assert found["detected_by"] == first
    assert found["fdti_s"] == pytest.approx(min(code - 1.0, 0.2), abs=1e-9)
    assert found["fhti_s"] == pytest.approx(0.5, abs=1e-9)
    assert found["function_monitor_s"] == pytest.approx(0.2, abs=1e-9)
    assert math.isnan(found["device_s"])


@pytest.mark.parametrize(("rows", "harmful"), [(501, False), (502, True)])
def test_harm_is_longer_than_the_fault_tolerant_time(rows, harmful):
    blade = np.where(np.arange(2000) < rows, 0.5, 0.0)
    found = judge.assess(run_of(blade, np.zeros(2000)), np.zeros(2000), 0.0, 0.07)
    assert found["hazard"] is harmful


@pytest.mark.parametrize(("blade", "harmful"), [(0.401, True), (0.399, False)])
def test_harm_is_beyond_both_foot_and_healthy_blade(blade, harmful):
    """10 % beyond the larger of the two, 0.30."""
    n = 2000
    for asked, healthy in ((0.3, 0.1), (0.1, 0.3)):
        run = run_of(np.full(n, blade), np.full(n, asked))
        assert judge.assess(run, np.full(n, healthy), 0.0, 0.07)["hazard"] is harmful


def test_what_was_before_the_fault_does_not_count():
    time = np.arange(3000) * 1e-3
    blade = np.where(time < 1.0, 0.9, 0.0)
    found = judge.assess(run_of(blade, np.zeros(3000), [0.5]), np.zeros(3000), 1.0, 0.07)
    assert (found["unasked_opening"], found["codes"], found["hazard"]) == (0.0, "", False)
    assert math.isnan(found["fdti_s"])


def test_a_blade_that_does_not_come_back_never_returns():
    safe = np.array([False, True, True, False])
    time = np.arange(4) * 1e-3
    assert math.isnan(judge.return_time(time, safe))
    assert judge.return_time(time, ~safe) == pytest.approx(3e-3)
    assert judge.return_time(time, np.full(4, True)) == 0.0


# --- tables


def test_coverage_classes():
    """Low 60, medium 90, high 99 %: ISO 26262-5 as found in public texts."""
    shares = (1.0, 0.99, 0.9899, 0.9, 0.8999, 0.6, 0.5999, math.nan)
    words = ("high", "high", "medium", "medium", "low", "low", "below low", "")
    assert tuple(map(audit_table.coverage_class, shares)) == words


def made(setup_name, detected, hazard, status="completed"):
    rated = severity.rate("uncommanded" if hazard else "right", hazard, True, detected, "none")
    place = {"pedal": "p", "body": "b", "fault": "fault", "instant": "full", "group": "pedal"}
    return place | rated | {"setup": setup_name, "status": status}


@pytest.mark.parametrize(
    ("detected", "hazard", "unwatched", "grade"),
    [
        (False, True, True, "hazard"),
        (True, True, True, "late"),
        (True, True, False, "late"),  # the reaction itself is a hazard
        (True, False, True, "in time"),
        (True, False, False, "in time"),
        (False, False, False, "not needed"),
    ],
)
def test_grades_and_coverage(detected, hazard, unwatched, grade):
    """Dangerous is what is a hazard here or without a monitor; of that coverage is the share in time."""
    rows = [made("mine", detected, hazard), made("none", False, unwatched)]
    table = audit_table.judged(pd.DataFrame(rows))
    assert list(table["grade"]) == [grade, "hazard" if unwatched else "not needed"]
    mine = audit_table.coverage(table, ["mine"]).iloc[0]
    dangerous = hazard or unwatched
    caught = dangerous and grade == "in time"
    assert (mine["hazardous"], mine["caught"]) == (dangerous, caught)
    assert (mine["late"], mine["missed"]) == (grade == "late", grade == "hazard")
    assert math.isnan(mine["coverage"]) if not dangerous else mine["coverage"] == caught


def test_without_the_unwatched_run_there_is_no_grade():
    rows = [made("mine", False, False), made("none", False, False, status="refused")]
    assert list(audit_table.judged(pd.DataFrame(rows))["grade"]) == ["", ""]
