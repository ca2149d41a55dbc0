# SPDX-License-Identifier: BSD-3-Clause
"""Learns that go wrong, as studies name them: what they expand to, what comes of them, wrong entries."""

import numpy as np
import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.experiments import report
from twintrack.studies import mistakes, reader
from twintrack.studies.mistakes import Mishap, Mistake

HEAD = 'pedals = ["{0}"]\nbodies = ["{1}"]\n'


@pytest.fixture
def head(names):
    return HEAD.format(names[0][0], names[1][0])


def loaded(tmp_path, text):
    path = tmp_path / "study.toml"
    path.write_text(text)
    return reader.load(path)


def test_a_study_takes_mishaps_by_name_and_with_amounts(tmp_path, head):
    found = loaded(
        tmp_path,
        head
        + """learn = ["fresh", "pressed_once",
          { mishap = "pressed_short", amount = "60 %", limits = "careless" },
          { mishaps = ["deposits", { mishap = "low_supply", amount = 0.8 }], stays = true },
          { limits = "strict" }]""",
    )
    assert found.learn == (
        "fresh",
        Mistake((Mishap("pressed_once"),)),
        Mistake((Mishap("pressed_short", 0.6),), "careless"),
        Mistake((Mishap("deposits"), Mishap("low_supply", 0.8)), stays=True),
        Mistake((), "strict"),
    )
    cases = [found.case(p, i) for i, p in enumerate(found.pairings())]
    assert [len(c.faults_of_run) for c in cases] == [0, 0, 0, 2, 0]
    assert cases[2].parameters.learn == tt.learn_parameters("careless")
    assert cases[3].parameters.learn == tt.learn_parameters()
    assert [p.label for p in found.pairings()][3].endswith(
        "faulty-deposits 1.72° and low supply × 0.8, not mended"
    )


def test_mistakes_meet_faults_in_a_run(tmp_path, head):
    path = tmp_path / "study.toml"
    path.write_text(
        head
        + """learn = ["fresh", "pressed_once", { mishap = "pressed_short", amount = "60 %" }]
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
    assert short["mistake"] == "pressed short 60 %"
    # Analytic: pressed to 60 % in the learn, half the travel is taken for 0.5/0.6 (affine law).
    pedal_map = tt.BenchParameters().controller.pedal_map
    assert short["error_half"] == pytest.approx(
        _map(pedal_map, 0.5 / 0.6) - _map(pedal_map, 0.5), abs=0.006
    ), "0.6 %: converter codes, noise and a harness's pull resistors"
    assert list(done.table["mistake"]) == ["", "pressed once", "pressed short 60 %"]
    page = report.write(done).read_text()
    assert "Of 2 learns with a mistake 1 are refused; the 1 that are accepted give 1 × UNCOMMANDED." in page
    assert "Learned with a mistake" in page


def _map(pedal_map, travel):
    return float(np.interp(travel, pedal_map.pedal, pedal_map.opening))


MISTAKES = {
    "unknown": ('"presed_once"', r"'presed_once' is no learn state; did you mean 'pressed_once'\?"),
    "unknown in a table": (
        '{ mishap = "pressed" }',
        r"line 3: learn\[1\]\.mishap = \"pressed\": there is no such mishap",
    ),
    "no mishap": ("{ amount = 3 }", r"learn\[1\]\.mishap: there is no such mishap"),
    "empty table": ("{}", r"learn\[1\]: the table names no 'mishap'"),
    "number": ("{ mishap = 3 }", r"learn\[1\]\.mishap = 3: there is no such mishap"),
    "both": ('{ mishap = "deposits", mishaps = ["deposits"] }', r"give either one mishap or a list"),
    "unknown key": ('{ mishap = "deposits", amout = 3 }', r"amout = 3: unknown key; did you mean 'amount'\?"),
    "out of range": (
        '{ mishap = "pressed_short", amount = "160 %" }',
        r"learn\[1\]\.amount = \"160 %\": .*1",
    ),
    "wrong unit": ('{ mishap = "deposits", amount = "3 mm" }', r"amount = \"3 mm\": wrong dimension"),
    "unit missing": ('{ mishap = "deposits", amount = 3 }', r"amount = 3: the unit is missing"),
    "no amount wanted": ('{ mishap = "pressed_once", amount = 3 }', r"pressed_once takes no amount"),
    "place missing": ('"noisy_track"', r"noisy_track needs a place"),
    "place unknown": (
        '{ mishap = "noisy_track", where = "roof" }',
        r"where = \"roof\": .*places: pedal\.track1",
    ),
    "place not there": ('{ mishap = "noisy_track", where = "pedal.track3" }', r"there is no pedal\.track3"),
    "limits": (
        '{ mishap = "deposits", limits = "lax" }',
        r"limits = \"lax\": must be one of strict, default, careless",
    ),
    "stays is no flag": ('{ mishap = "deposits", stays = 1 }', r"stays = 1: must be true or false"),
    "cannot stay": ('{ mishap = "pressed_once", stays = true }', r"nothing of this can stay.*deposits"),
    "twice": ('"deposits", { mishap = "deposits" }', r"'deposits 1\.72°' stands in the list twice"),
    "cannot happen together": ('{ mishaps = ["deposits", "deposits"] }', r"cannot happen together"),
}


@pytest.mark.parametrize(("entry", "message"), MISTAKES.values(), ids=MISTAKES)
def test_a_wrong_entry_is_answered_with_its_place(tmp_path, head, entry, message):
    with pytest.raises(InputError, match=message):
        loaded(tmp_path, f"{head}learn = [{entry}]\n")


def test_what_stays_must_not_meet_a_fault_of_the_same_thing(tmp_path, head):
    text = '[[faults]]\nwhere = "supply"\nwhat = "scale"\namount = 0.9\n'
    entry = '{ mishap = "low_supply", amount = 0.8, stays = true }'
    with pytest.raises(InputError, match=r"line 3: learn\[1\]: .*already set"):
        loaded(tmp_path, f"{head}learn = [{entry}]\n{text}")
    assert loaded(tmp_path, f"{head}learn = [{entry.replace(', stays = true', '')}]\n{text}").faults


def test_exchanged_wires_need_a_harness(tmp_path, head):
    with pytest.raises(InputError, match="needs the wiring 'harness'"):
        loaded(tmp_path, f'{head}learn = ["leads_reversed"]\n[bench.wiring]\nkind = "ideal"\n')


@pytest.mark.parametrize("kind", tt.mishap_catalogue(), ids=lambda k: k.name)
def test_every_mishap_has_words(kind):
    where = kind.places[0] if kind.places else ""
    for amount in kind.severities or [None]:
        text = Mishap(kind.name, amount, where).text
        assert text.startswith(kind.name.replace("_", " "))
        assert (text != Mishap(kind.name, None, where).text) or amount in (None, kind.usual)
    assert mistakes.KINDS[kind.name].can_stay == bool(tt.lasting_faults([tt.Mishap(kind.name, where=where)]))
