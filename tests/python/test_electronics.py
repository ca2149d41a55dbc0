# SPDX-License-Identifier: BSD-3-Clause
"""Dying supply, protected bridge and warm motor as Python sees them, and where such cases run."""

import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.studies import reader

PEDAL, BODY = "half-slope-low", "opposed-six"
HALF = tt.Stroke(time=[0, 0.3, 0.8, 4.0], travel=[0, 0, 0.5, 0.5])


@pytest.fixture(scope="module")
def bench():
    bench = tt.Bench(pedal=PEDAL, body=BODY)
    assert bench.learn().accepted
    return bench


def test_an_open_supply_wire_puts_the_controller_into_reset(bench):
    """And back, with a code and without a learn."""
    result = bench.run(HALF, faults=[tt.Fault(where="controller supply", what="open", start=1.5, end=1.8)])
    table = result.to_pandas()
    assert table["controller.awake"].iloc[1700] == 0.0
    assert table["throttle.track1"].iloc[1700] == pytest.approx(0.0, abs=0.01)
    assert table["blade.opening"].iloc[-1] == pytest.approx(table["asked"].iloc[-1], abs=0.01)
    assert [code.text for code in result.codes] == ["P0560-16"]


def test_a_short_is_named_and_its_forced_mode_listed(bench):
    result = bench.run(
        HALF, faults=[tt.Fault(where="motor -", what="short_to_battery", start=1.5, amount=0.05)]
    )
    assert result.codes[0].text == "P2103-12"
    assert [entry.code.text for entry in result.history.modes()] == ["P2110-00"]


def test_a_part_may_warm_up():
    body = tt.Bench(pedal=PEDAL, body=BODY).parameters.body
    assert body.thermal is None
    warm = body.replace({"thermal": {"winding_capacity": 5.0}})
    bench = tt.Bench(pedal=PEDAL, body=warm)
    assert bench.learn().accepted
    table = bench.run(HALF).to_pandas()
    assert table["winding.temperature"].iloc[-1] > table["winding.temperature"].iloc[0] + 0.1


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ('[bench.power]\nreset_voltage = "5 V"\n', "must lie above reset_voltage"),
        ('[bench.guard]\nundervoltage = "6 V"\n', "must lie above undervoltage"),
        ('[bench.guard]\njunction_capacity = "-1 J/K"\n', "junction_capacity"),
        ('[bench.guard]\nderate_from = "180 degC"\n', "must lie above derate_from"),
    ],
)
def test_a_study_with_thresholds_out_of_order_is_refused(tmp_path, study_text, text, complaint):
    path = tmp_path / "study.toml"
    path.write_text(study_text + text)
    with pytest.raises(InputError, match=complaint):
        reader.load(path)


@pytest.mark.parametrize(
    ("where", "what", "solver"),
    [
        ("motor -", "short_to_ground", "exact"),
        ("controller supply", "series", "exact"),
        ("throttle return", "series", "lanes"),
    ],
)
def test_a_case_that_lanes_do_not_know_runs_in_the_exact_solver(campaign_text, tmp_path, where, what, solver):
    wrong = f'[[faults]]\nwhere = "{where}"\nwhat = "{what}"\namount = "1 ohm"\nfrom = "2 s"\n'
    path = tmp_path / "study.toml"
    path.write_text(campaign_text.replace("[tolerances]", wrong + "[tolerances]"))
    table = tt.Study.load(path).run(tmp_path / "out", cases=4, progress=False).to_pandas()
    assert set(table["solver"]) == {solver}
