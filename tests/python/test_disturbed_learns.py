# SPDX-License-Identifier: BSD-3-Clause
"""Learns under disturbances, as studies name them: what they expand to, what comes of them, wrong entries."""

import numpy as np
import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.experiments import report
from twintrack.studies import disturbed_learns, reader
from twintrack.studies.disturbed_learns import DisturbedLearn, LearnDisturbance

HEAD = 'pedals = ["{0}"]\nbodies = ["{1}"]\n'


@pytest.fixture
def head(names):
    return HEAD.format(names[0][0], names[1][0])


def loaded(tmp_path, text):
    path = tmp_path / "study.toml"
    path.write_text(text)
    return reader.load(path)


def test_a_study_takes_disturbances_by_name_and_with_amounts(tmp_path, head):
    found = loaded(
        tmp_path,
        head
        + """learn = ["fresh", "pressed_once",
          { disturbance = "pressed_short", amount = "60 %", limits = "careless" },
          { disturbances = ["deposits", { disturbance = "low_supply", amount = 0.8 }], stays = true },
          { limits = "strict" }]""",
    )
    assert found.learn == (
        "fresh",
        DisturbedLearn((LearnDisturbance("pressed_once"),)),
        DisturbedLearn((LearnDisturbance("pressed_short", 0.6),), "careless"),
        DisturbedLearn((LearnDisturbance("deposits"), LearnDisturbance("low_supply", 0.8)), stays=True),
        DisturbedLearn((), "strict"),
    )
    cases = [found.case(p, i) for i, p in enumerate(found.pairings())]
    assert [len(c.faults_of_run) for c in cases] == [0, 0, 0, 2, 0]
    assert cases[2].parameters.learn == tt.learn_parameters("careless")
    assert cases[3].parameters.learn == tt.learn_parameters()
    assert [p.label for p in found.pairings()][3].endswith(
        "faulty-deposits 1.72° and low supply × 0.8, not mended"
    )


def test_errors_meet_faults_in_a_run(tmp_path, head):
    path = tmp_path / "study.toml"
    path.write_text(
        head
        + """learn = ["fresh", "pressed_once", { disturbance = "pressed_short", amount = "60 %" }]
stroke = { time = ["0 s", "1.5 s", "2.5 s", "4 s"], travel = [0.0, 0.0, 0.5, 0.5] }
[[faults]]
where = "body.opener_spring"
what = "scale"
amount = 0.9
"""
    )
    done = tt.Study.load(path).run(tmp_path / "out", progress=False)
    fresh, once, short = (row for _, row in done.table.iterrows())
    assert (fresh["response"], once["response"], short["response"]) == ("right", "none", "uncommanded")
    assert (once["learn_refusal"], fresh["learn_refusal"]) == ("pressed once", "")
    assert "only once" in once["learn_reason"]
    assert short["learn_disturbance"] == "pressed short 60 %"
    # Analytic: pressed to 60 % in the learn, half the travel is taken for 0.5/0.6 (affine law).
    pedal_map = tt.BenchParameters().controller.pedal_map
    assert short["error_half"] == pytest.approx(
        _map(pedal_map, 0.5 / 0.6) - _map(pedal_map, 0.5), abs=0.006
    ), "0.6 %: converter codes, noise and a harness's pull resistors"
    assert list(done.table["learn_disturbance"]) == ["", "pressed once", "pressed short 60 %"]
    page = report.write(done).read_text()
    assert "Of 2 disturbed learns 1 are refused; the 1 that are accepted give 1 × UNCOMMANDED." in page
    assert "Learned with a disturbance" in page


def _map(pedal_map, travel):
    return float(np.interp(travel, pedal_map.pedal, pedal_map.opening))


ERRORS = {
    "unknown": ('"presed_once"', r"'presed_once' is no learn state; did you mean 'pressed_once'\?"),
    "unknown in a table": (
        '{ disturbance = "pressed" }',
        r"line 3: learn\[1\]\.disturbance = \"pressed\": there is no such disturbance",
    ),
    "no disturbance": ("{ amount = 3 }", r"learn\[1\]\.disturbance: there is no such disturbance"),
    "empty table": ("{}", r"learn\[1\]: the table names no 'disturbance'"),
    "number": ("{ disturbance = 3 }", r"learn\[1\]\.disturbance = 3: there is no such disturbance"),
    "both": (
        '{ disturbance = "deposits", disturbances = ["deposits"] }',
        r"give either one disturbance or a list",
    ),
    "unknown key": (
        '{ disturbance = "deposits", amout = 3 }',
        r"amout = 3: unknown key; did you mean 'amount'\?",
    ),
    "out of range": (
        '{ disturbance = "pressed_short", amount = "160 %" }',
        r"learn\[1\]\.amount = \"160 %\": .*1",
    ),
    "wrong unit": ('{ disturbance = "deposits", amount = "3 mm" }', r"amount = \"3 mm\": wrong dimension"),
    "unit missing": ('{ disturbance = "deposits", amount = 3 }', r"amount = 3: the unit is missing"),
    "no amount wanted": ('{ disturbance = "pressed_once", amount = 3 }', r"pressed_once takes no amount"),
    "place missing": ('"noisy_track"', r"noisy_track needs a place"),
    "place unknown": (
        '{ disturbance = "noisy_track", where = "roof" }',
        r"where = \"roof\": .*places: pedal\.track1",
    ),
    "place not there": (
        '{ disturbance = "noisy_track", where = "pedal.track3" }',
        r"there is no pedal\.track3",
    ),
    "limits": (
        '{ disturbance = "deposits", limits = "lax" }',
        r"limits = \"lax\": must be one of strict, default, careless",
    ),
    "stays is no flag": ('{ disturbance = "deposits", stays = 1 }', r"stays = 1: must be true or false"),
    "cannot stay": ('{ disturbance = "pressed_once", stays = true }', r"nothing of this can stay.*deposits"),
    "twice": ('"deposits", { disturbance = "deposits" }', r"'deposits 1\.72°' is in the list twice"),
    "cannot happen together": ('{ disturbances = ["deposits", "deposits"] }', r"cannot happen together"),
}


@pytest.mark.parametrize(("entry", "message"), ERRORS.values(), ids=ERRORS)
def test_a_wrong_entry_is_answered_with_its_place(tmp_path, head, entry, message):
    with pytest.raises(InputError, match=message):
        loaded(tmp_path, f"{head}learn = [{entry}]\n")


def test_what_stays_must_not_meet_a_fault_of_the_same_thing(tmp_path, head):
    text = '[[faults]]\nwhere = "supply"\nwhat = "scale"\namount = 0.9\n'
    entry = '{ disturbance = "low_supply", amount = 0.8, stays = true }'
    with pytest.raises(InputError, match=r"line 3: learn\[1\]: .*already set"):
        loaded(tmp_path, f"{head}learn = [{entry}]\n{text}")
    assert loaded(tmp_path, f"{head}learn = [{entry.replace(', stays = true', '')}]\n{text}").faults


def test_exchanged_wires_need_a_harness(tmp_path, head):
    with pytest.raises(InputError, match="needs the wiring 'harness'"):
        loaded(tmp_path, f'{head}learn = ["leads_reversed"]\n[bench.wiring]\nkind = "ideal"\n')


@pytest.mark.parametrize("kind", tt.disturbance_catalogue(), ids=lambda k: k.name)
def test_every_disturbance_has_words(kind):
    where = kind.places[0] if kind.places else ""
    for amount in kind.severities or [None]:
        text = LearnDisturbance(kind.name, amount, where).text
        assert text.startswith(kind.name.replace("_", " "))
        assert (text != LearnDisturbance(kind.name, None, where).text) or amount in (None, kind.usual)
    assert disturbed_learns.KINDS[kind.name].can_stay == bool(
        tt.lasting_faults([tt.LearnDisturbance(kind.name, where=where)])
    )
