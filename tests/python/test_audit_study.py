# SPDX-License-Identifier: BSD-3-Clause
"""The audit's file: what it asks for by itself, its named set-ups, and errors in it."""

import pytest

import twintrack as tt
from twintrack.designs.audit import instants as audit
from twintrack.errors import InputError
from twintrack.experiments.plan import load
from twintrack.studies.setups import MEANING, setup

PAIR = 'pedals = ["half-slope-high"]\nbodies = ["set-a"]\n'
DRIVE = 'stroke = { time = ["0 s", "0.6 s", "0.8 s", "2 s", "2.2 s", "4 s"], travel = [0, 0, 1, 1, 0, 0] }\n'


def write(folder, text):
    (folder / "study.toml").write_text('design = "audit"\n' + text)
    return folder / "study.toml"


def bench(pedal="half-slope-high", body="half-slope-six", **more):
    return tt.BenchParameters(pedal=tt.pedal(pedal), body=tt.body(body), **more)


def test_any_study_can_be_audited(study_file):
    study_file.write_text('design = "audit"\n' + study_file.read_text())
    loaded = load(study_file).design
    assert list(loaded.setups) == ["default", "none"]
    assert loaded.instants == ["at rest", "part load", "tip-in", "crossing"]
    assert len(loaded.rules) == len(tt.rules())


def test_the_studys_monitor_is_the_default_set_up(tmp_path):
    loaded = load(write(tmp_path, PAIR + "[bench.monitor]\ncorrelation_limit = 0.2\n")).design
    assert loaded.setups["default"].correlation_limit == 0.2
    assert loaded.stroke == audit.DRIVE or loaded.stroke.time == audit.DRIVE.time


def test_named_setups_are_quiet_on_healthy_benches():
    """Every built-in pedal on one body and every body on one pedal: no code without a fault."""
    pairs = [(p, "half-slope-six") for p in tt.pedals()] + [("half-slope-high", b) for b in tt.bodies()]
    for pedal, body in pairs:
        case = tt.Case(parameters=bench(pedal, body), stroke=audit.DRIVE)
        learned = tt.run_learn(case).result
        for name in MEANING:
            parameters = bench(pedal, body, monitor=setup(name))
            result = tt.run_case(tt.Case(parameters=parameters, stroke=audit.DRIVE), learned=learned)
            assert [code.text for code in result.codes] == [], (pedal, body, name)


ERRORS = {
    "[audit]\nsetup = 1": "audit.setup = 1: unknown key; did you mean 'setups'",
    '[audit]\nsetups = ["strikt"]': "there is no set-up 'strikt'; did you mean 'strict'",
    "[audit]\nsetups = []": "must be a list of texts, not empty",
    '[audit]\ninstants = ["noon"]': "there is no instant 'noon'",
    '[hazard]\ntime = "0 s"': "must be above 0 and at most 60 s",
    '[hazard]\ntime = "1 V"': "wrong dimension",
    '[hazard]\nopening = "200 %"': "must be above 0 and at most 100 %",
    "[idle]\nsteps = 5": "goes with design = 'idle maps'; this is 'audit'",
    "[audit.monitor.strict]\nband_low = 0.1": "is a built-in set-up; choose a name other",
    "[audit.monitor.mine]\nband_low = 0.9": "band_low",
    '[[faults]]\nwhere = "motor"\nwhat = "heat"\namount = "60 K"': "an audit makes its own faults",
}


@pytest.mark.parametrize(("wrong", "message"), ERRORS.items())
def test_errors(wrong, message, tmp_path):
    with pytest.raises(InputError) as error:
        load(write(tmp_path, PAIR + wrong))
    assert message in str(error.value)
    assert "study.toml, line" in str(error.value)


def test_an_instant_the_stroke_does_not_have(tmp_path):
    text = PAIR + DRIVE + '[audit]\ninstants = ["part load"]\n'
    with pytest.raises(InputError, match="the stroke has no instant 'part load'"):
        load(write(tmp_path, text))


def test_a_table_of_a_design_names_it(tmp_path):
    path = tmp_path / "study.toml"
    path.write_text(PAIR + "[audit]\n")
    assert load(path).design.name == "audit"
    path.write_text('design = "audits"\n' + PAIR)
    with pytest.raises(
        InputError, match="line 1: design = \"audits\": there is no such design; did you mean 'audit'"
    ):
        load(path)
