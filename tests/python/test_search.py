# SPDX-License-Identifier: BSD-3-Clause
"""A search for the case of least margin: run, resumed, made smaller, replayed, and what it refuses."""

import json

import numpy as np
import pandas as pd
import pytest

import twintrack as tt
from twintrack.designs.search.faults import Kind
from twintrack.designs.search.foot import Foot, too_fast
from twintrack.errors import InputError
from twintrack.files import toml_text

FREE = {
    "kinds": ["throttle.track1 offset", "pedal.track2 gain", "throttle.track2 frozen"],
    "from": ["1.5 s", "2.5 s"],
    "ramp": ["0 s", "300 ms"],
}
TABLE = {
    "design": "search",
    "pedals": ["half-slope-low"],
    "bodies": ["opposed-six"],
    "learn": ["fresh"],
    "bench": {"wiring": {"kind": "ideal"}, "monitor": {"correlation_limit": 0.25}},
    "search": {
        "runs": 80,
        "population": 32,
        "foot": {"knots": 2, "from": "1 s", "to": "2.5 s", "end": "3 s"},
        "faults": [FREE],
    },
    "tolerances": {
        "supply": {"uniform": ["12 V", "14 V"]},
        "body.tracks[1].ratio": {"normal": [1.0, "0.3 %"], "as": "factor", "after_learn": True},
    },
}


def table(**changes):
    """The table with some keys changed; of ``search`` too, by ``search_KEY``; ``None`` takes one away."""
    found = json.loads(json.dumps(TABLE))
    for key, value in changes.items():
        inside, name = (found["search"], key[7:]) if key.startswith("search_") else (found, key)
        if value is None:
            inside.pop(name, None)
        else:
            inside[name] = value
    return found


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    return tt.Study.make(**table()).run(tmp_path_factory.mktemp("search") / "out", progress=False, jobs=2)


def test_what_it_found(result):
    counted = result.table[result.table["excluded"] == ""]
    assert len(result) == 80
    assert counted["sought_margin"].min() < -0.2
    assert "COUNTEREXAMPLE to 'hazard'" in result.headline
    assert "safe" not in result.headline.lower()
    broken = counted["sought_margin"] < 0
    assert set(counted.loc[broken, "rule: hazard"]) == {"failed"}
    assert (counted["margin: hazard"] == counted["sought_margin"]).all()


def test_the_hazard_is_the_scale_of_severity_s(result):
    """What is graded as uncommanded is what the rule says, case by case; both come from one record."""
    table = result.table[result.table["excluded"] == ""]
    assert ((table["sought_margin"] < 0) == (table["response"] == "uncommanded")).all()


def test_it_resumes_to_the_bit_on_any_number_of_threads(result, tmp_path):
    study = tt.Study.make(**table())
    study.run(tmp_path / "out", cases=40, progress=False, jobs=1)
    again = study.run(tmp_path / "out", progress=False, jobs=1)
    pd.testing.assert_frame_equal(again.to_pandas(), result.to_pandas(), check_exact=True)
    ours = (result.counterexample.read_text(), again.counterexample.read_text())
    assert ours[0] == ours[1]


def test_any_case_is_replayed(result):
    assert result.replay(17).differences == []


def test_the_counterexample_is_small_and_a_study_of_its_own(result, tmp_path):
    about = json.loads((result.counterexample.parent / "about.json").read_text())
    faults, knots, values, duration = about["size"]
    assert faults == 1
    assert knots <= 3
    assert values == 0, "neither supply nor track has to do with it"
    assert duration <= 3.0
    assert -0.3 < about["margin"] < 0.0, "the smallest fault breaks the rule narrowly"
    again = tt.Study.load(result.counterexample, solver="exact").run(tmp_path / "out", progress=False)
    assert len(again) == 1, "a value that is fixed does not scatter"
    row = again.row(0)
    assert row["rule: hazard"] == "failed"
    assert row["margin: hazard"] == about["margin"], "to the bit"
    assert again.replay(0).differences == []
    assert (result.counterexample.parent / "case-000000000.png").stat().st_size > 10_000


def test_its_margin_is_that_of_another_library(result):
    """rtamt (MIT licence) on the record of the counterexample: persistence as a window."""
    rtamt = pytest.importorskip("rtamt", reason="the package rtamt is not installed")
    trace = pd.read_parquet(result.counterexample.parent / "case-000000000.parquet")
    spec = rtamt.StlDiscreteTimeSpecification()
    spec.declare_var("beyond", "float")
    time = trace["time"] if "time" in trace else trace.index.to_series()
    beyond = (trace["blade.opening"] - trace["asked"]).to_numpy()
    rows = len(beyond)
    spec.spec = f"always[0:{rows - 102}] not (always[0:101] (beyond > 0.1))"
    spec.parse()
    margin = spec.evaluate({"time": np.asarray(time).tolist(), "beyond": beyond.tolist()})[0][1]
    about = json.loads((result.counterexample.parent / "about.json").read_text())
    assert margin / 0.1 == pytest.approx(about["margin"], abs=1e-12)


def test_none_found_is_never_safe(tmp_path):
    """A healthy bench with a narrow supply: nothing breaks the rule, and the report says what that means."""
    study = tt.Study.make(
        **table(search_faults=None, bench={"wiring": {"kind": "ideal"}}, search_runs=40)
        | {"tolerances": {"supply": {"uniform": ["13 V", "14 V"]}}}
    )
    result = study.run(tmp_path / "out", progress=False)
    assert result.counterexample is None
    assert "No counterexample to 'hazard' found in 40 runs; least margin" in result.headline
    assert "says nothing about what was not tried" in result.headline
    from twintrack.experiments import report

    text = report.write(result).read_text()
    assert "Coverage of the search space" in text
    assert "safe" not in text.replace("safety", "").replace("safe state", "").lower()


def test_the_first_counterexample_ends_it(tmp_path):
    result = tt.Study.make(**table(search_stop="first", search_runs=320)).run(
        tmp_path / "out", progress=False
    )
    assert len(result) < 320
    assert len(result) % 32 == 0, "generations are whole"
    assert result.counterexample


def test_a_pair_of_faults_and_another_optimiser(tmp_path):
    second = {"kinds": ["pedal.track1 offset"], "from": ["1 s", "2 s"], "amount": ["-5 %", "5 %"]}
    made = table(search_faults=[FREE, second], search_method="evolution strategy", search_runs=32)
    result = tt.Study.make(**made).run(tmp_path / "out", progress=False)
    assert {"fault1.kind", "fault1.strength", "fault2.amount", "fault2.from"} <= set(result.columns)
    assert "fault2.kind" not in result.columns, "one kind is no choice"
    case = result.plan.case(3, {n: result.row(3)[n] for n in result.plan.names})
    assert len(case.faults_of_run) == 2


@pytest.mark.parametrize(
    ("what", "least", "most", "ends"),
    [("offset", -1.0, 1.0, (-1.0, 1.0)), ("gain", -2.0, 5.0, (-2.0, 5.0)), ("noise", 0.0, 0.5, (0.5, 0.5)),
     ("scale", 0.0, 3.0, (0.0, 3.0))],
)  # fmt: skip
def test_strength(what, least, most, ends):
    """By hand: ±1 are the ends of what a kind allows, 0 changes nothing, half is a quarter of the way."""
    kind = Kind("x", what, "", 0.0, least, most)
    neutral = 1.0 if what in ("gain", "scale") else 0.0
    assert (kind.at(-1.0), kind.at(1.0)) == ends
    assert kind.at(0.0) == neutral
    assert kind.at(0.5) == neutral + 0.25 * (ends[1] - neutral)


def test_no_foot_is_faster_than_its_limit():
    rng = np.random.default_rng(1)
    foot = Foot(knots=6, fastest=4.0)
    for _ in range(200):
        draw = {t.parameter: float(t.distribution.at(rng.random(1))[0]) for t in foot.tolerances()}
        stroke = foot.stroke(draw)
        assert too_fast(stroke, 4.0) == ""
        assert stroke.duration == 10.0
    assert "moves" in too_fast(tt.Stroke(time=[0.0, 1.0, 1.1], travel=[0.0, 0.0, 1.0]), 9.0)


def test_text_of_a_table_reads_back(tmp_path):
    import tomllib

    made = {"a": 1, "b": "x\"y", "t": {"c": [1.5, 2.0], "u v": {"as": "factor", "values": [0.1]}},
            "f": [{"g": True}, {"g": False}]}  # fmt: skip
    assert tomllib.loads(toml_text.text(made)) == made


WRONG = [
    ({"search_faults": None, "search_foot": None, "tolerances": None}, r"search: nothing is free"),
    ({"search_rule": "no such rule"}, r"search.rule.*there is no rule 'no such rule'"),
    ({"search_method": "luck"}, r"search.method = \"luck\": there is no such method"),
    ({"search_runs": 0}, r"search.runs = 0: must be a whole number from 1"),
    ({"search_faults": [FREE | {"kinds": ["pedal.track1 ofset"]}]}, "did you mean 'pedal.track1 offset'"),
    ({"search_faults": [FREE | {"from": ["2 s", "9 s"]}]}, r"faults\[1\].from: must lie within 0 … 3 s"),
    ({"search_faults": [FREE | {"from": ["2 s", "2 s"]}]}, "leaves nothing to search"),
    ({"search_faults": [FREE | {"amount": ["1 %", "2 %"]}]}, "goes with kinds that all take an amount"),
    ({"search_foot": {"knots": 2, "fastest": "5 1/s"}}, "'fastest' needs a 'source'"),
    ({"search_foot": {"knots": 2, "fastest": 5}}, "the unit is missing"),
    ({"search_foot": {"knots": 2, "from": "9 s"}}, "needs 0 ≤ from < to ≤ end"),
    ({"search_foot": {"fastest": "0.4 1/s", "source": "ours"}}, "contradicts the limit of 0.4 1/s"),
    ({"learn": ["fresh", "none"]}, "goes with one pair and one learn state"),
    ({"sampling": {"method": "random"}}, "chooses its cases itself"),
    ({"search_time": "-1 s"}, "must be above 0"),
    ({"search_healthy_before": 1}, "must be true or false"),
]


@pytest.mark.parametrize(("changes", "message"), WRONG, ids=lambda c: str(c)[:40])
def test_bad_input(changes, message):
    with pytest.raises(InputError, match=message):
        tt.Study.make(**table(**changes))


def test_a_rule_that_never_applies(tmp_path):
    study = tt.Study.make(**table(search_rule="idle band"))
    with pytest.raises(
        InputError, match="none of the first 32 cases counts: the rule 'idle band' applies in none"
    ):
        study.run(tmp_path / "out", progress=False)


def test_a_bench_that_is_never_healthy(tmp_path):
    """The rule is broken before any fault comes: it contradicts 'healthy_before'."""
    rule = {"name": "never open", "requires": "blade.opening < 1 %", "limit": "1 %"}
    study = tt.Study.make(**table(search_rule="never open", rules=[rule]))
    with pytest.raises(InputError, match="in none of them the bench is healthy before its fault"):
        study.run(tmp_path / "out", progress=False)


def test_a_search_of_another_study_is_refused(result):
    with pytest.raises(InputError, match="as it was before it was changed"):
        tt.Study.make(**table(search_population=16)).run(result.folder, progress=False)


def test_the_file_is_remembered_and_does_not_decide():
    one, other = (tt.Study.make(**table(title=title)).plan for title in ("one", "other"))
    assert one.fingerprint() == other.fingerprint()
    assert type(one).from_plain(json.loads(json.dumps(one.to_plain()))).fingerprint() == one.fingerprint()
    assert one.design.source["title"] == "one"
