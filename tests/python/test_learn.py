# SPDX-License-Identifier: BSD-3-Clause
"""The range learn from Python: disturbances, strictness, what the memory holds, files, the picture."""

import json
import pickle

import pytest
from matplotlib import pyplot as plt

import twintrack as tt


@pytest.fixture(scope="module")
def parameters(names):
    return tt.BenchParameters(pedal=tt.pedal(names[0][0]), body=tt.body(names[1][0]), seed=3)


@pytest.fixture(scope="module")
def good(parameters):
    run = tt.learn(parameters)
    assert run.accepted, run.reason
    return run


def test_a_good_learn_says_what_it_saw(good):
    assert good.refusal == "none"
    assert good.reason == ""
    assert 0.0 < good.measures.return_time < 1.0
    assert good.range.supply == pytest.approx(13.5, abs=0.1)
    assert good.range.count == 1
    assert good.store.state == "good"
    assert good.store.range == good.range
    assert good.state[0] == "precheck"
    assert good.state[-1] == "accepted"
    assert len(good.state) == len(good.record.time)


def test_a_refusal_has_a_name_a_sentence_and_numbers(parameters):
    run = tt.learn(parameters, disturbances=["pressed_once"])
    assert not run.accepted
    assert run.refusal == "pressed once"
    assert "only once" in run.reason
    assert run.result.measured < run.result.limit == pytest.approx(0.2)
    assert run.range is None


def test_the_careless_takes_what_the_default_refuses(parameters):
    assert not tt.learn(parameters, disturbances=["leads_reversed"]).accepted
    run = tt.learn(parameters, disturbances=["leads_reversed"], strictness="careless")
    assert run.accepted
    well = tt.learn(parameters).range.throttle[0]
    assert run.range.throttle[0].start == pytest.approx(well.end, abs=0.01)
    with pytest.raises(tt.InvalidParameter, match="strictness"):
        tt.learn(parameters, strictness="lax")


@pytest.mark.parametrize("kind", tt.disturbance_catalogue(), ids=lambda k: k.name)
def test_every_disturbance_is_a_value(kind):
    where = kind.places[0] if kind.places else ""
    made = tt.LearnDisturbance(kind.name, where=where)
    assert made.name == kind.name
    assert made.amount is None
    if kind.least < kind.most:
        with pytest.raises(tt.InvalidParameter, match="amount"):
            tt.LearnDisturbance(kind.name, 2.0 * kind.most + 1.0, where)


def test_an_unknown_disturbance_is_answered_with_those_there_are():
    with pytest.raises(tt.InvalidParameter, match="pressed_short, pressed_once"):
        tt.LearnDisturbance("pressed_twice")


def test_an_interrupted_learn_leaves_the_old_record(parameters, good):
    run = tt.learn(parameters, disturbances=[tt.LearnDisturbance("interrupted", 6.0)], previous=good.range)
    assert run.refusal == "interrupted"
    assert run.store.range == good.range


def test_a_damaged_memory_is_refused_at_key_on(parameters, good):
    slots = [bytearray(slot) for slot in good.store.slots]
    next(slot for slot in slots if slot)[300] ^= 1
    memory = tt.RangeStore.from_slots([bytes(slot) for slot in slots])
    assert memory.state == "damaged"
    run = tt.run(parameters, tt.Stroke.rest(1.0), learned=memory)
    assert [code.text for code in run.codes] == ["P0603-41", "P2176-54"]
    assert not run.record["duty"].any()
    assert not tt.run(parameters, tt.Stroke.rest(1.0), learned=good.store).codes


def test_a_write_that_stops_leaves_the_record_before(good):
    memory = tt.RangeStore(good.range)
    edited = good.range.replace(default_opening=0.1)
    memory.write(edited, stop_after=700)
    assert memory.range == good.range
    memory.write(edited)
    assert memory.range.default_opening == 0.1
    assert memory.range.count == 2
    assert pickle.loads(pickle.dumps(memory)).range == memory.range


def test_a_range_as_a_file(good, tmp_path):
    path = tmp_path / "range.json"
    tt.save_range(good.range, path)
    assert tt.load_range(path) == good.range
    values = json.loads(path.read_text())
    values["default_opening"] += 0.01
    path.write_text(json.dumps(values))
    with pytest.raises(tt.InputError, match="damaged or was edited"):
        tt.load_range(path)
    del values["checksum"]
    path.write_text(json.dumps(values))
    assert tt.load_range(path).default_opening == pytest.approx(good.range.default_opening + 0.01)
    for text, message in (
        ('{"version": 9}', "missing"),
        (json.dumps({**values, "version": 9}), "foreign"),
        (json.dumps({**values, "pedal": 3}), "expected a list of curves"),
        ("[]", "one JSON object"),
        ("{", "range.json"),
    ):
        path.write_text(text)
        with pytest.raises(tt.InputError, match=message):
            tt.load_range(path)
    with pytest.raises(tt.InputError, match="nowhere"):
        tt.load_range(tmp_path / "nowhere.json")


def test_an_edited_range_must_still_be_one(good):
    with pytest.raises(tt.InvalidParameter, match="default_opening"):
        good.range.replace(default_opening=2.0)
    with pytest.raises(tt.InvalidParameter, match="no entry"):
        good.range.replace(opening=0.1)


def test_the_bench_keeps_what_it_knew(names):
    bench = tt.Bench(pedal=names[0][0], body=names[1][0])
    assert bench.learn().accepted
    before = bench.learned
    assert not bench.learn(disturbances=["not_released"]).accepted
    assert bench.learned == before
    assert bench.learn(disturbances=["foot_resting"]).accepted
    assert bench.learned.count == 2


def test_key_on_test_and_closed_stop_can_be_asked_for(parameters, good):
    asked = parameters.replace({"controller.self_test.enabled": True, "controller.closed_stop.enabled": True})
    assert not tt.run(asked, tt.Stroke.rest(2.0), learned=good.range).codes
    broken = tt.Fault(where="body.return_spring", what="scale", amount=0.0)
    codes = tt.run(asked, tt.Stroke.rest(2.0), learned=good.range, faults=[broken]).codes
    assert "P2111-72" in [code.text for code in codes]


def test_the_picture_of_a_learn_names_its_steps(names):
    bench = tt.Bench(pedal=names[0][0], body=names[1][0])
    run = bench.learn(disturbances=["pressed_once"])
    figure = run.plot()
    labels = [label.get_text() for label in figure.axes[-1].get_yticklabels()]
    assert labels == list(dict.fromkeys(run.state))
    assert figure.axes[0].get_title(loc="left") == run.reason
    plt.close(figure)


def test_the_diagram_lists_every_step():
    text = tt.learn_diagram()
    for step in ("precheck", "releasing_from_closed", "committing", "accepted"):
        assert step in text
