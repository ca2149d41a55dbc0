# SPDX-License-Identifier: BSD-3-Clause
"""The nets behind plan and diagnosis, against ngspice and NumPy.

Basis: ngspice (a general-purpose library beside ours) for volts; NumPy's rank of the nets' sensitivity for
groups.
"""

import itertools

import numpy as np
import pytest
from circuit_simulator import operating_points

import twintrack as tt

BENCH = tt.Bench(pedal="half-slope-low", body="opposed-six").parameters
STANDS = [(0.0, "released"), (0.5, "released"), (1.0, "released"), (0.0, "closed"), (0.0, "open")]


def volts(faults=(), stand=(0.0, "released"), bench=BENCH):
    points = tt.meter_points(bench)
    return dict(zip(points, tt.standing_volts(bench, faults=list(faults), stands=[stand])[0], strict=True))


def compare(cases, folder):
    """Cases of (faults, stand): all points within 10 µV or 1e-6; returns how many needed a start at our
    answer."""
    decks = [tt.standing_deck(BENCH, faults=list(f), foot=s[0], blade=s[1]) for f, s in cases]
    ours = [volts(*case) for case in cases]
    theirs = operating_points(decks, folder)
    lost = [k for k, found in enumerate(theirs) if not found]
    if lost:
        again = operating_points([decks[k] for k in lost], folder, [ours[k] for k in lost])
        for k, found in zip(lost, again, strict=True):
            theirs[k] = found
    for case, own, found in zip(cases, ours, theirs, strict=True):
        assert found, f"no answer of the simulator for {case}"
        for point, value in own.items():
            assert value == pytest.approx(found[point], abs=1e-5, rel=1e-6), (case, point)
    return len(lost)


def test_volts_of_the_plan_against_ngspice(tmp_path):
    assert compare([((), stand) for stand in STANDS], tmp_path) == 0


def test_volts_of_50_faults_against_ngspice(tmp_path):
    faults = tt.every_single_wiring_fault(BENCH.pedal, BENCH.body)
    some = [faults[k] for k in np.random.default_rng(3).permutation(len(faults))[:50]]
    some = [f for f in some if f.where != "controller supply" or f.what != "open"]
    cases = [((fault,), STANDS[k % len(STANDS)]) for k, fault in enumerate(some)]
    assert compare(cases, tmp_path) <= 10


def test_a_starved_controller_feeds_nothing():
    open_supply = tt.Fault(where="controller supply", what="open")
    found = volts([open_supply])
    assert abs(found["pin pedal reference 1"]) < 1e-3
    low = tt.Fault(
        where="supply", what="scale", amount=0.36
    )  # 4.86 V: above the reset, below 5 V and drop-out
    assert volts([low])["pin pedal reference 1"] == pytest.approx(
        0.36 * 13.5 - BENCH.power.drop_out, abs=0.05
    )


def test_a_broken_return_spring_leaves_the_blade_open():
    broken = tt.Fault(where="body.return_spring", what="scale", amount=0.0)
    stays, open_ = (volts([broken], (0.0, pose))["pin throttle signal 1"] for pose in ("released", "open"))
    assert stays == pytest.approx(open_, abs=0.01)
    assert volts(stand=(0.0, "released"))["pin throttle signal 1"] < open_ - 2.0


def sensitivity(readings, faults):
    """Readings × faults: change of each reading [in units of a meter's error] by a small growth of each
    fault."""

    def read(faults_now):
        column = []
        for stand, points in readings:
            found = volts(faults_now, stand)
            column += [found[point] / (0.005 * abs(found[point]) + 0.005) for point in points]
        return np.array(column)

    healthy = read([])
    return np.column_stack([read([f]) - healthy for f in faults])


def test_groups_follow_the_rank_of_the_nets_sensitivity():
    """Resistances in series with the six supply wires of a pedal: seen at the signal pins alone, reference
    and return of one track move one ratio, each its own way; seen at rest only, fewer are apart than at two
    positions."""
    terminals = ["pedal reference 1", "pedal return 1", "pedal reference 2", "pedal return 2"]
    faults = [tt.Fault(where=t, what="series", amount=5.0) for t in terminals]
    pins = ["pin pedal signal 1", "pin pedal signal 2"]
    one = sensitivity([((0.0, "released"), pins)], faults)
    two = sensitivity([((0.0, "released"), pins), ((1.0, "released"), pins)], faults)

    def alike(matrix):
        scaled = matrix / np.linalg.norm(matrix, axis=0)
        return {
            (a, b)
            for a, b in itertools.combinations(range(len(faults)), 2)
            if np.linalg.matrix_rank(scaled[:, [a, b]], tol=0.02) == 1
        }

    assert np.linalg.matrix_rank(one, tol=1e-3 * np.abs(one).max()) == 2
    assert alike(one) == {(0, 1), (2, 3)}, (
        "at one position reference and return of a track differ in sign only"
    )
    assert np.linalg.matrix_rank(two, tol=1e-3 * np.abs(two).max()) == 4
    assert alike(two) == set()


def test_an_unplugged_connector_is_seen_with_power_only():
    """Apart are all connectors where ohms are read; powered, its signals fall to the pull-down."""
    unplugged = tt.Fault(where="pedal main", what="unplugged")
    pairs = [("pedal signal 1", "pin pedal signal 1")]
    healthy, apart = (tt.unplugged_ohms(BENCH, faults=f, pairs=pairs)[0] for f in ([], [unplugged]))
    assert apart == pytest.approx(healthy)
    assert abs(volts([unplugged])["pin pedal signal 1"]) < 0.01
