# SPDX-License-Identifier: BSD-3-Clause
"""Tolerances of a study file: what they draw, and how each error in them is answered."""

import json
import re
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

import twintrack as tt
from twintrack.errors import InputError
from twintrack.experiments.learns import Learns
from twintrack.experiments.plan import Plan, load

HEAD = """pedals = ["half-slope-low"]
bodies = ["opposed-six"]
learn = ["fresh"]
[[faults]]
where = "pedal.track1"
what = "offset"
amount = 0.04
from = "3 s"
"""


@pytest.fixture
def plan_of(tmp_path):
    """The plan of a study with these lines added."""

    def make(text, head=HEAD):
        path = tmp_path / "study.toml"
        path.write_text(head + text)
        return load(path)

    return make


def learned(plan):
    return Learns(plan).of([0], plan.draws(0, 1))[0]


def drawn(plan, count=512):
    return {name: [draw[name] for draw in plan.draws(0, count)] for name in plan.names}


def test_draws_follow_their_distributions(plan_of):
    """Kolmogorov–Smirnov, by SciPy, of 512 Sobol points against SciPy's distributions."""
    plan = plan_of(
        """[tolerances]
supply = { normal = ["13 V", "500 mV"], least = "12 V" }
"faults[1].amount" = { uniform = [0.0, "8 %"] }
"""
    )
    values = drawn(plan)
    assert stats.kstest(values["supply"], stats.truncnorm(-2, np.inf, 13, 0.5).cdf).pvalue > 0.5
    assert stats.kstest(values["faults[1].amount"], stats.uniform(0, 0.08).cdf).pvalue > 0.5


def test_values_reach_the_case(plan_of):
    plan = plan_of(
        """[tolerances]
supply = { uniform = ["12 V", "14 V"] }
body.mechanics.motor.resistance = { uniform = [0.9, 1.1], as = "factor" }
"body.mechanics.motor.temperature" = { uniform = ["5 K", "30 K"], as = "offset" }
"pedal.tracks[2].ratio[1]" = { uniform = [-0.005, 0.005], as = "offset" }
"faults[1].from" = { uniform = ["2 s", "4 s"] }
"faults[1].to" = { uniform = ["5 s", "6 s"] }
"""
    )
    own, (draw,) = plan.study.parameters("half-slope-low", "opposed-six", 9), plan.draws(9, 1)
    case = plan.case(9)
    bench = case.parameters
    assert bench.case_number == 9
    assert bench.supply == draw["supply"]
    motor, resistance = bench.body.mechanics.motor, "body.mechanics.motor.resistance"
    assert motor.resistance == own.body.mechanics.motor.resistance * draw[resistance]
    heat = draw["body.mechanics.motor.temperature"]
    assert 5 <= heat <= 30
    assert motor.temperature == own.body.mechanics.motor.temperature + heat
    ratio, moved = own.pedal.tracks[1].ratio, draw["pedal.tracks[2].ratio[1]"]
    assert bench.pedal.tracks[1].ratio == [ratio[0] + moved, *ratio[1:]]
    (fault,) = plan.faults(9, draw)
    assert fault.start == pytest.approx(draw["faults[1].from"], abs=1e-6)  # the clock counts microseconds
    assert fault.end == pytest.approx(draw["faults[1].to"], abs=1e-6)
    assert fault.amount == 0.04


def test_values_of_engine_and_wiring_scatter(plan_of):
    text = """scenario = "idle"
[bench]
engine = "small-four"
[tolerances]
"engine.coolant" = { uniform = ["-10 degC", "90 degC"] }
"engine.model.rotation.inertia" = { uniform = [0.9, 1.1], as = "factor" }
"wiring.harness.sensor_wire.length" = { uniform = ["1 m", "4 m"] }
"""
    plan = plan_of(text, HEAD.split("[[faults]]")[0])
    (draw,) = plan.draws(3, 1)
    bench = plan.case(3).parameters
    assert bench.engine.coolant == draw["engine.coolant"]
    own = tt.engine("small-four").model.rotation.inertia
    assert bench.engine.model.rotation.inertia == own * draw["engine.model.rotation.inertia"]
    assert bench.wiring.harness.sensor_wire.length == draw["wiring.harness.sensor_wire.length"]
    with pytest.raises(InputError, match=r"engine.coolant.*: the study has no engine"):
        plan_of('[tolerances]\n"engine.coolant" = { uniform = ["-10 degC", "90 degC"] }\n')


def test_after_learn_leaves_the_learn_alone(plan_of):
    """A track that moves after the learn makes the answer wrong; one that was learned as it is does not."""
    text = '[tolerances]\n"pedal.tracks[1].ratio" = {{ uniform = [0.92, 0.93], as = "factor"{} }}\n'
    head = HEAD.split("[[faults]]")[0]
    before, after = (plan_of(text.format(more), head) for more in ("", ", after_learn = true"))
    assert tt.run_case(before.case(0), learned=learned(before)).response == "right"
    changed = tt.run_case(after.case(0), learned=learned(after))
    assert changed.response != "right"
    assert changed.learn_accepted


def test_a_fault_of_every_single_one_comes_when_drawn(plan_of):
    plan = plan_of(
        '[bench.wiring]\nkind = "harness"\n[tolerances]\nfaults_from = { uniform = ["2 s", "5 s"] }\n',
        'pedals = ["half-slope-low"]\nbodies = ["opposed-six"]\nfaults = "every single wiring fault"\n',
    )
    starts = {plan.faults(i, draw)[0].start for i, draw in enumerate(plan.draws(1, 40), 1)}
    assert len(starts) == 1  # the first pass over the faults: all meet the same draw
    count = len(plan.specs)
    later = plan.faults(count + 1, plan.draws(count + 1, 1)[0])[0]
    assert later.start not in starts
    assert later.what == plan.specs[1].pairing.fault.what


def test_weights_names_and_flags(plan_of):
    plan = plan_of("""[tolerances]
"pedal.tracks[1].kind" = { values = ["potentiometer", "hall"], weights = [3, 1] }
"monitor.correlation.enabled" = { values = [true, false] }
"acquisition.bits" = { values = [10, 12] }
""")
    values = drawn(plan)
    assert values["pedal.tracks[1].kind"].count("hall") == 128  # 512 points of a balanced sequence
    assert set(values["monitor.correlation.enabled"]) == {True, False}
    assert {type(v) for v in values["acquisition.bits"]} == {int}
    for number in range(4):
        plan.case(number)


def test_correlated_tracks(plan_of):
    """Spearman's correlation by SciPy."""
    plan = plan_of("""[tolerances]
supply = { uniform = ["12 V", "14 V"] }
"pedal.tracks[1].ratio" = { normal = [1.0, 0.01], as = "factor" }
"pedal.tracks[2].ratio" = { normal = [1.0, 0.01], as = "factor" }
[[correlated]]
parameters = ["pedal.tracks[1].ratio", "pedal.tracks[2].ratio"]
rank_correlation = 0.7
""")
    values = list(drawn(plan, 2048).values())
    assert stats.spearmanr(values[1], values[2]).statistic == pytest.approx(0.7, abs=0.03)
    assert stats.spearmanr(values[0], values[1]).statistic == pytest.approx(0.0, abs=0.06)


@pytest.mark.parametrize("method", ["sobol", "latin", "random"])
def test_a_case_depends_only_on_its_number(plan_of, method):
    plan = plan_of(f"""[sampling]
method = "{method}"
block = 16
[tolerances]
supply = {{ normal = ["13 V", "500 mV"], least = "11 V" }}
"pedal.tracks[1].ratio" = {{ normal = [1.0, 0.01], as = "factor" }}
"pedal.tracks[2].ratio" = {{ normal = [1.0, 0.01], as = "factor" }}
[[correlated]]
parameters = ["pedal.tracks[1].ratio", "pedal.tracks[2].ratio"]
rank_correlation = 0.7
""")
    whole = plan.draws(0, 100)
    assert [plan.draws(i, 1)[0] for i in range(100)] == whole
    assert plan.draws(33, 40) == whole[33:73]


def test_pairs_meet_the_same_draws(plan_of):
    head = 'pedals = ["half-slope-low", "opposed"]\nbodies = ["opposed-six"]\nlearn = ["none", "fresh"]\n'
    plan = plan_of('[tolerances]\nsupply = { uniform = ["12 V", "14 V"] }\n', head)
    draws = plan.draws(0, 12)
    assert [plan.spec(i).pairing.pedal for i in (0, 1, 4)] == ["half-slope-low", "opposed", "half-slope-low"]
    assert draws[0] == draws[3] != draws[4] == draws[7]


def test_plan_survives_as_plain_values(plan_of):
    """As JSON: what a results folder keeps. Every bit of a case stays the same."""
    text = HEAD.replace("[[faults]]", 'rule_sets = ["all"]\n[[faults]]')
    spread = 'supply = { normal = ["13 V", "0.3 V"] }\n"acquisition.bits" = { values = [10, 12] }\n'
    plan = plan_of(f"[tolerances]\n{spread}", text)
    again = Plan.from_plain(json.loads(json.dumps(plan.to_plain(), allow_nan=False)))
    assert again.fingerprint() == plan.fingerprint()
    assert again.draws(0, 20) == plan.draws(0, 20)
    assert again.case(3).parameters == plan.case(3).parameters
    assert [r.applies for r in again.study.rules] == [r.applies for r in plan.study.rules]
    assert [r.requires for r in again.study.rules] == [r.requires for r in plan.study.rules]


def test_fingerprint_is_of_what_decides_the_results(plan_of):
    text = '[tolerances]\nsupply = { uniform = ["12 V", "14 V"] }\n'
    first = plan_of(text).fingerprint()
    assert plan_of("# a remark\n" + text, 'title = "other"\n' + HEAD).fingerprint() == first
    assert plan_of(text.replace('"12 V"', '"12000 mV"')).fingerprint() == first
    for changed in (
        text.replace("14", "15"),
        text + "[bench]\nseed = 2\n",
        text + '[sampling]\nmethod = "latin"\n',
    ):
        assert plan_of(changed).fingerprint() != first


T = "[tolerances]\n"
GOOD = 'supply = { uniform = ["12 V", "14 V"] }'


@pytest.mark.parametrize(
    ("text", "line", "message"),
    [
        (T + "suply = { uniform = [1, 2] }", 10, r"no parameter suply; did you mean 'supply'"),
        (T + '"pedal.tracks[1].ration" = { uniform = [1, 2] }', 10, r"did you mean 'ratio'"),
        (T + '"pedal.tracks.ratio" = { uniform = [1, 2] }', 10, r"say which, such as tracks\[1\]"),
        (T + '"pedal.tracks[3].noise" = { uniform = [0, 0.01] }', 10, r"no such entry"),
        (T + "supply = 12", 10, r"must be a distribution"),
        (T + "supply = { least = 12 }", 10, r"must have one of uniform, normal, values"),
        (T + "supply = { uniform = [12, 14] }", 10, r"the unit is missing"),
        (T + 'supply = { uniform = ["12 A", "14 A"] }', 10, r"wrong dimension"),
        (T + 'supply = { uniform = ["14 V", "12 V"] }', 10, r"the least must be below the most"),
        (T + 'supply = { uniform = ["12 V"] }', 10, r"a list of two, \[least, most\]"),
        (T + 'supply = { uniform = ["12 V", "40 V"] }', 10, r"can become 40.*allowed: 0 to 36 V"),
        (T + 'supply = { uniform = ["12 V", "nan V"] }', 10, r"must be finite"),
        (T + 'supply = { normal = ["12 V", "0 V"] }', 10, r"must be above 0"),
        (T + 'supply = { normal = ["12 V", "5 V"] }', 10, r"can become .*allowed: 0 to 36 V"),
        (T + 'supply = { normal = ["12 V", "1 V"], least = "13 V", most = "11 V" }', 10, r"below 'most'"),
        (T + 'supply = { uniform = ["12 V", "14 V"], least = "13 V" }', 10, r"does not go with"),
        (T + 'supply = { uniform = ["12 V", "14 V"], mean = 1 }', 10, r"unknown key"),
        (T + 'supply = { values = [], weights = [] }', 10, r"must be a list, not empty"),
        (T + 'supply = { values = ["12 V"], weights = [1, 2] }', 10, r"1 numbers from 0 up"),
        (T + 'supply = { values = ["12 V"], as = "facor" }', 10, r"did you mean 'factor'"),
        (T + '"faults[1].from" = { values = ["1 s"], after_learn = true }', 10, r"always absent"),
        (T + "seed = { values = [1, 2] }", 10, r"is what the noise of each case is made from"),
        (T + '"pedal.name" = { values = ["a"] }', 10, r"is text, which does not scatter"),
        (T + 'pedal = { values = ["a"] }', 10, r"is a group of parameters"),
        (T + '"acquisition.bits" = { uniform = [8, 12] }', 10, r"no real number; give the 'values'"),
        (T + '"acquisition.bits" = { values = [12.5] }', 10, r"12.5 is no whole number"),
        (T + '"pedal.tracks[1].kind" = { values = ["hal"] }', 10, r"did you mean 'hall'"),
        (T + '"faults[2].amount" = { uniform = [0, 1] }', 10, r"no such fault; the study has 1"),
        (T + '"faults[1].size" = { uniform = [0, 1] }', 10, r"of a fault there are: faults"),
        (T + '"faults[1].from" = { uniform = [0, 1] }', 10, r"the unit is missing"),
        (T + '"faults[1].amount" = { uniform = [0, 9] }', 10, r"can become 9, which .* refuses"),
        (T + 'faults_from = { uniform = ["1 s", "2 s"] }', 10, r"no study of every single wiring fault"),
        (T + '"body.mechanics.motor.temperature" = { uniform = ["1 degC", "2 degC"], as = "offset" }', 10,
         r"given in K"),
        ('[sampling]\nmethod = "sobel"', 10, r"did you mean 'sobol'"),
        ("[sampling]\nblock = 1", 10, r"from 2 to 1000000"),
        (T + f'{GOOD}\n[[correlated]]\nparameters = ["supply"]\n', 12, r"list of two or more"),
        (T + f'{GOOD}\n[[correlated]]\nparameters = ["supply", "suply"]\n', 12, r"did you mean 'supply'"),
        (T + f'{GOOD}\n"faults[1].amount" = {{ uniform = [0, 0.1] }}\n[[correlated]]\n'
         'parameters = ["supply", "faults[1].amount"]\nrank_correlation = 2', 14, r"from -1 to 1"),
    ],
)  # fmt: skip
def test_errors(plan_of, tmp_path, text, line, message):
    with pytest.raises(InputError, match=message) as error:
        plan_of(text)
    assert str(error.value).startswith(f"{tmp_path / 'study.toml'}, line {line}: ")


def test_contradicting_correlations(plan_of):
    names = ["pedal.tracks[1].noise", "pedal.tracks[2].noise", "supply"]
    text = T + GOOD + "".join(f'\n"{n}" = {{ uniform = [0, 0.001] }}' for n in names[:2])
    text += f"\n[[correlated]]\nparameters = {json.dumps(names)}\nrank_correlation = -0.9\n"
    with pytest.raises(InputError, match="contradict each other"):
        plan_of(text)


def test_the_example_is_a_campaign():
    plan = load(Path(__file__).parents[2] / "examples" / "campaign.toml")
    assert len(plan.tolerances) == 9
    assert re.search("invented", plan.study.title)
