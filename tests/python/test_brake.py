# SPDX-License-Identifier: BSD-3-Clause
"""The brake of a study file: what it becomes, its errors, and the rules that speak of it."""

import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.experiments import plain
from twintrack.experiments import plan as plans
from twintrack.rulebooks import rulebook
from twintrack.studies import reader as study

HEAD = 'pedals = ["half-slope-high"]\nbodies = ["half-slope-six"]\nlearn = ["fresh"]\n'
STROKE = 'stroke = { time = ["0 s", "1 s", "1.5 s", "6 s"], travel = [0, 0, 0.6, 0.6] }\n'
PRESS = '[[brake]]\nfrom = "2 s"\nto = "4 s"\npressed = "60 %"\n'


def load(folder, text):
    path = folder / "study.toml"
    path.write_text(HEAD + text)
    return study.load(path)


def test_presses_become_a_stroke(tmp_path):
    text = PRESS + '[[brake]]\nfrom = "4.1 s"\nto = "5 s"\nramp = "20 ms"\n'
    brake = load(tmp_path, text).brake
    assert list(brake.time) == pytest.approx([0, 2, 2.1, 4, 4.1, 4.12, 5, 5.02])
    assert list(brake.travel) == pytest.approx([0, 0, 0.6, 0.6, 0, 1, 1, 0])


def test_without_the_key_there_is_no_brake_and_an_empty_list_is_one_that_nobody_presses(tmp_path):
    assert load(tmp_path, "").brake is None
    assert max(load(tmp_path, "brake = []\n").brake.travel) == 0.0
    pressed_at_once = load(tmp_path, '[[brake]]\nfrom = "0 s"\nto = "1 s"\n').brake
    assert list(pressed_at_once.time) == pytest.approx([0, 0.1, 1, 1.1])


ERRORS = {
    "brake = 1": "brake = 1: must be a list of tables",
    "brake = [1]": "brake[1] = 1: must be a table",
    '[[brake]]\nto = "4 s"': "brake[1]: the press has no 'from'",
    '[[brake]]\nfrom = "2 s"\nto = "4 V"': "wrong dimension",
    '[[brake]]\nfrom = "2 s"\nto = 4': "brake[1].to = 4",
    '[[brake]]\nfrom = "2 s"\nto = "2.05 s"': "must be 2.1 s or later: 'from' plus the ramp",
    '[[brake]]\nfrom = "-1 s"\nto = "2 s"': "outside the allowed range 0 … 1e+06 s",
    PRESS.replace("60 %", "160 %"): 'brake[1].pressed = "160 %": outside the allowed range 0 … 1',
    PRESS.replace("60 %", "0.6 V"): "a plain number",
    PRESS + PRESS: 'brake[2].from = "2 s": the press before it lasts until 4.1 s',
    PRESS + 'hard = "yes"': 'brake[1].hard = "yes": unknown key',
}


@pytest.mark.parametrize(("wrong", "message"), ERRORS.items())
def test_errors(wrong, message, tmp_path):
    with pytest.raises(InputError) as error:
        load(tmp_path, wrong)
    assert message in str(error.value)
    assert "study.toml, line" in str(error.value)


def test_it_travels_to_other_machines(tmp_path):
    loaded = load(tmp_path, PRESS)
    again = plain.study_from_plain(plain.study_to_plain(loaded))
    assert list(again.brake.time) == list(loaded.brake.time)
    assert plain.study_from_plain(plain.study_to_plain(load(tmp_path, ""))).brake is None


def judged(folder, text):
    """Verdicts on brake and throttle, and the codes, of the only case."""
    loaded = load(folder, STROKE + text)
    case = loaded.case(loaded.pairings()[0], 0)
    learned = tt.run_learn(case).result
    result = tt.run_case(case, learned=learned, trace=True)
    verdicts = rulebook.evaluate(result.record, tt.rules(), parameters=case.parameters, learned=learned.range)
    return {v.rule: v for v in verdicts}, [code.text for code in result.codes]


def test_brake_against_demand(tmp_path):
    """IC.4.7.1: applied and open above what is permitted for more than 1 s, the power goes.

    The brake is applied at 5 % (the sensor's default), 8 ms after the foot comes onto it.
    """
    verdicts, codes = judged(tmp_path, PRESS)
    assert codes == ["P2299-64"]
    assert verdicts["brake and throttle"].finding == "passed"
    assert verdicts["brake sensor in band"].finding == "passed"
    verdicts, codes = judged(tmp_path, PRESS + "[bench.monitor.brake.check]\nenabled = false\n")
    assert codes == []
    assert verdicts["brake and throttle"].finding == "failed"
    assert verdicts["brake and throttle"].when == pytest.approx(3.01, abs=0.02)
    verdicts, _ = judged(tmp_path, "")
    assert verdicts["brake and throttle"].finding == "not applicable"


def test_an_audit_has_the_brakes_faults_when_there_is_a_brake(tmp_path):
    path = tmp_path / "study.toml"
    counts = []
    for text in ("", PRESS):
        path.write_text('design = "audit"\n' + HEAD + text)
        loaded = plans.load(path)
        faults = loaded.design.faults("half-slope-high", "half-slope-six")
        counts.append(sum(fault.where == "brake" for fault in faults))
        assert isinstance(loaded.case(0), tt.Case)
    assert counts[0] == 0 < counts[1]
