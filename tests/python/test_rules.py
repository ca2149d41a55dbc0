# SPDX-License-Identifier: BSD-3-Clause
"""Rules from Python: formulas as text both ways, errors in them, verdicts on records of several kinds."""

import math
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.rulebooks import rulebook
from twintrack.rulebooks.text import text_of
from twintrack.studies import reader


def record(**columns):
    n = len(next(iter(columns.values())))
    return tt.record_of(np.arange(n) * 1e-3, columns)


def test_every_built_in_rule_reads_back_from_its_text():
    for rule in tt.rules():
        for formula in (rule.applies, rule.requires):
            assert tt.formula(text_of(formula)) == formula, text_of(formula)


TEXTS = (
    "not persists(abs(opening - set_point) > 0.1, 1 s)",
    "opening > 0.1 until[0.5 s, 1 s] duty < 0.0",
    "opening > 0.1 and duty < 0.5 or not demand >= 0.3 implies crisp (reaction > 1.0 or duty < - 0.2)",
    "(opening > 0.1 implies duty > 0.1) implies demand > 0.1",
    "opening > 0.1 and (duty > 0.1 and demand > 0.1)",
    "eventually[1 s, end] once[0 s, 2 s] previous 2.0 * opening - duty + 0.5 > 1.0",
    "recorded(2 s) and historically held(throttle.track1 < 4.5 V, 0.25 s)",
    "(opening > 0.1 since duty > 0.1) until true",
)


@pytest.mark.parametrize("text", TEXTS)
def test_text_both_ways(text):
    assert text_of(tt.formula(text)) == text


def test_units_and_shares():
    same = tt.formula("persists(abs(opening - set_point) > 10 %, 1000 ms)")
    assert same == tt.formula("persists(abs(opening - set_point) > 0.1, 1 s)")
    fast = tt.formula("engine.speed > 60 rpm")
    assert fast.right[1] == pytest.approx(2 * math.pi, rel=1e-12)


ERRORS = {
    "opening > ": "ends too early",
    "opening >> 1": r"column 10: not understood from '> 1' on",
    "opning > 1": r"column 1: there is no signal 'opning'; did you mean 'opening'\?",
    "throttle.track1 > 1": r"column 19: 1: the unit is missing",
    "throttle.track1 > 1 A": r"column 19: 1 A: wrong dimension",
    "opening > duty + throttle.track1": r"column 18: throttle.track1 is in V, opening in shares",
    "1 > 0": "neither side names a signal",
    "always[1 s, 0 s] duty > 0": r"column 8: the window ends \(0 s\) before it begins",
    "always[0, 1 s] duty > 0": r"column 8: 0: the unit is missing",
    "always duty": "ends too early",
    "not " * 300 + "duty > 0": "more than 200 operators|too deeply nested",
    "(" * 5000 + "duty > 0": "ends too early|too deeply nested",
    "duty > 1e999": "finite",
    "": "ends too early",
}


@pytest.mark.parametrize(("text", "message"), ERRORS.items())
def test_errors(text, message):
    with pytest.raises(ValueError, match=message):
        tt.formula(text)


def test_verdict_says_when_and_by_how_much():
    rule = tt.rule(name="mine", requires="duty <= 50 %", applies="opening > 0.1", limit="50 %")
    duty, opening = np.array([0.9, 0.2, 0.6, 0.8]), np.array([0.0, 0.5, 0.5, 0.5])
    (v,) = tt.evaluate(record(duty=duty, opening=opening), [rule])
    assert (v.rule, v.finding, v.when, v.worst) == ("mine", "failed", 0.002, 0.003)
    assert v.margin == pytest.approx(-0.3, abs=1e-15)
    assert "failed at 0.002 s" in repr(v)
    table = rulebook.collect([rule], [None, [v]])
    assert list(table.index) == [1]
    assert table.loc[1, "share"] == pytest.approx(-0.6, abs=1e-15)


def test_records_of_several_kinds():
    rule = tt.rule(name="mine", requires="duty <= 0.5")
    time, duty = np.arange(4) * 1e-3, np.array([0.1, 0.2, 0.6, 0.8])
    kinds = (
        tt.record_of(time, {"duty": duty}),
        {"time": time, "duty": duty},
        pd.DataFrame({"duty": duty}, index=time),
    )
    assert [tt.evaluate(kind, [rule])[0].when for kind in kinds] == [0.002] * 3
    for wrong in ({"duty": duty}, 3):
        with pytest.raises(InputError, match="time"):
            tt.evaluate(wrong, [rule])
    with pytest.raises(tt.InvalidParameter, match="duty"):
        tt.record_of(time, {"duty": duty[:2]})
    with pytest.raises(tt.InvalidParameter, match="time"):
        tt.record_of(time * math.nan, {"duty": duty})
    with pytest.raises(tt.InvalidParameter, match="duty: not a number in row 3"):
        tt.evaluate({"time": time, "duty": [0, 0, math.nan, 0]}, [rule])


def test_own_signals():
    rule = tt.rule(name="warm", requires="oil < 400 kelvin", signals={"oil": "kelvin"})
    assert tt.evaluate({"time": [0.0], "oil": [390.0]}, [rule])[0].margin == 10.0
    (v,) = tt.evaluate({"time": [0.0], "duty": [0.0]}, [rule])
    assert (v.finding, v.reason, v.margin) == ("not applicable", "not in the record: oil", None)


def test_a_bench_against_all_rules():
    bench = tt.Bench(pedal=next(iter(tt.pedals())), body=next(iter(tt.bodies())))
    assert bench.learn().accepted
    run = bench.run()
    verdicts = tt.evaluate(run, parameters=bench.parameters, learned=bench.learned)
    rules = tt.rules()
    assert [v.rule for v in verdicts] == [r.name for r in rules]
    assert {v.finding for v in verdicts} == {"passed", "not applicable"}
    bare = {v.rule: v for v in tt.evaluate(run)}
    assert bare["pedal tracks agree"].reason == "not in the record: pedal.mismatch"
    assert bare["no unasked opening"].finding == "passed"


def test_rule_sets():
    competition = tt.rules("student competition 2024")
    assert 20 < len(competition) < len(tt.rules())
    with pytest.raises(InputError, match="there is no rule set 'idle spead'; did you mean 'idle speed'"):
        tt.rules("idle spead")


RULES = """pedals = ["all"]
rule_sets = ["return to idle"]
[[rules]]
name = "gentle motor"
requires = "abs(motor.current) < 20 A"
applies = "pedal.travel > 50 %"
limit = "20 A"
unit = "A"
sentence = "With the foot down the motor draws less than 20 A."
"""


def test_rules_of_a_study(tmp_path):
    path = tmp_path / "s.toml"
    path.write_text(RULES)
    rules = reader.load(path).rules
    assert [rule.name for rule in rules][-1] == "gentle motor"
    assert len(rules) == 4
    assert (rules[-1].scale, rules[-1].unit, rules[-1].basis) == (20.0, "A", "the study's own")
    path.write_text('pedals = ["all"]')
    assert reader.load(path).rules == ()


def test_the_example_is_right_with_its_rules(tmp_path):
    text = (Path(__file__).parents[2] / "examples" / "pairing.toml").read_text()
    path = tmp_path / "s.toml"
    marked = r"^# (?=\[\[rules|rule_sets =|name =|requires =|applies =|limit =|unit =)"
    path.write_text(re.sub(marked, "", text, flags=re.M))
    rules = reader.load(path).rules
    assert rules[-1].name == "gentle motor"
    assert {rule.set for rule in rules} == {"student competition 2024", "return to idle", ""}


STUDY_ERRORS = {
    'rule_sets = ["all the rules"]': r"line 1: rule_sets: there is no rule set 'all the rules'",
    "rule_sets = 3": r"line 1: rule_sets: must be a list of texts",
    "rules = 3": r"line 1: rules: must be tables",
    '[[rules]]\nname = "a"': r"line 1: rules\[1\]: the rule has no 'requires'",
    '[[rules]]\nname = "a"\nrequires = "duty > 1 V"': r"line 3: rules\[1\]\.requires.*column 8: 1 V: wrong",
    '[[rules]]\nname = ""\nrequires = "true"': r"line 2: rules\[1\]\.name = \"\": a rule needs a name",
    '[[rules]]\nname = "a"\nrequires = 3': r"line 3: rules\[1\]\.requires = 3: must be text",
    '[[rules]]\nname = "a"\nrequires = "true"\nlimit = "-1"': r"line 4: rules\[1\]\.limit.*positive",
    '[[rules]]\nname = "a"\nrequires = "true"\nlimit = "1 V"': r"line 4: rules\[1\]\.limit = \"1 V\": wrong",
    '[[rules]]\nname = "a"\nrequires = "true"\n' * 2: r"line 5: rules\[2\]\.name = \"a\": another rule",
    '[[rules]]\nname = "a"\nrequires = "true"\nwhen = "x"': r"line 4: rules\[1\]\.when = \"x\": unknown key",
}


@pytest.mark.parametrize(("text", "message"), STUDY_ERRORS.items())
def test_errors_in_a_study(tmp_path, text, message):
    path = tmp_path / "s.toml"
    path.write_text(text)
    with pytest.raises(InputError, match=message):
        reader.load(path)


def test_a_study_with_rules_has_verdicts(tmp_path, study_text):
    path = tmp_path / "s.toml"
    path.write_text('rule_sets = ["all"]\n' + study_text)
    result = tt.Study.load(path).run(tmp_path / "out", progress=False)
    table, verdicts = result.table, result.verdicts()
    assert len(verdicts) == len(table) * len(tt.rules())
    fresh = table[table.learn == "fresh"]
    assert list(fresh.rules_failed) == [""] * 4, "a pair that was learned keeps every rule"
    agree = verdicts[verdicts.rule == "pedal tracks agree"].finding
    assert set(agree[fresh.index]) == {"passed"}
    failed = verdicts[verdicts.finding == "failed"]
    assert (failed.margin <= 0).all()
    assert failed.when_s.notna().all()
    assert {*failed.index} == {*table.index[table.rules_failed != ""]}


def test_a_study_without_rules_has_no_verdicts(finished):
    assert finished.verdicts().empty
    assert set(finished.table["rules_failed"]) == {""}
