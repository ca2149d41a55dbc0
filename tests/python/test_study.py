# SPDX-License-Identifier: BSD-3-Clause
"""Study files: what they expand to, and how each error in them is answered."""

import re
from pathlib import Path

import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.studies import reader, study

TRACKS = "[[tracks]]\nratio = [0.1, 0.8]\n[[tracks]]\nratio = [0.05, 0.4]\n"


def test_cases(study_file, names):
    loaded = reader.load(study_file)
    pairings = loaded.pairings()
    (a, b), (x, y) = names
    assert [p.learn for p in pairings] == ["none"] * 4 + ["fresh"] * 4 + ["stale"] * 8
    assert pairings[8] == study.Pairing(a, x, "stale", b, x)
    assert pairings[9] == study.Pairing(a, x, "stale", a, y)
    assert len({p.label for p in pairings}) == len(pairings)
    assert loaded.seed == 7
    case = loaded.case(pairings[9], 9)
    assert case.parameters.pedal.name == a
    assert case.parameters.body.name == x
    assert case.parameters.supply == 13.0
    assert case.parameters.case_number == 9
    assert case.stroke.duration == 4.0


def test_everything_has_a_default(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text('pedals = ["all"]')
    loaded = reader.load(path)
    assert loaded.title == "short"
    assert loaded.learn == ("none", "stale", "fresh")
    assert loaded.hazard == (None, None)
    pedals, bodies = len(loaded.pedals), len(loaded.bodies)
    assert len(loaded.pairings()) == pedals * bodies * (2 + (pedals - 1) + (bodies - 1))


def test_part_file_beside_the_study(tmp_path, names):
    (tmp_path / "mine.toml").write_text('kind = "pedal"\nname = "mine"\n' + TRACKS)
    path = tmp_path / "s.toml"
    path.write_text(f'pedals = ["mine.toml"]\nbodies = ["{names[1][0]}"]\nlearn = ["fresh"]\n')
    assert list(reader.load(path).pedals) == ["mine"]


def test_faults_are_read(tmp_path):
    path = tmp_path / "s.toml"
    path.write_text(
        'pedals = ["all"]\n[[faults]]\nwhere = "supply"\nwhat = "scale"\namount = 0.9\nfrom = "500 ms"\n'
    )
    (fault,) = reader.load(path).faults
    assert (fault.where, fault.what, fault.amount, fault.start, fault.end) == (
        "supply",
        "scale",
        0.9,
        0.5,
        None,
    )


EXAMPLE = Path(__file__).parents[2] / "examples" / "pairing.toml"


def test_example_is_right_with_and_without_its_fault(tmp_path):
    text = EXAMPLE.read_text()
    assert reader.load(EXAMPLE).faults == ()
    path = tmp_path / "with_fault.toml"
    path.write_text(re.sub(r"^# (?=\[\[faults|where|what|amount|from|ramp)", "", text, flags=re.M))
    (fault,) = reader.load(path).faults
    assert (fault.where, fault.what, fault.start) == ("pedal.track1", "offset", 3.5)
    assert fault.ramp == pytest.approx(0.1, abs=1e-12)


def test_example_shows_defaults(names):
    loaded = reader.load(EXAMPLE)
    default = tt.BenchParameters()
    for key in ("bridge", "acquisition", "monitor", "control_period", "tolerance", "supply", "seed"):
        assert loaded.bench[key] == getattr(default, key), key


ERRORS = {
    "unknown key": ('colour = "blue"', r'line 1: colour = "blue": unknown key'),
    "misspelt key": ('pedal = ["all"]', r"line 1: pedal: unknown key; did you mean 'pedals'\?"),
    "title is no text": ("title = 3", r"line 1: title = 3: must be text"),
    "empty list": ("pedals = []", r"line 1: pedals: the list is empty"),
    "empty learn list": ("learn = []", r"line 1: learn: the list is empty"),
    "no list": ('bodies = "all"', r'line 1: bodies = "all": must be a list of texts'),
    "list of numbers": ("bodies = [1]", r"line 1: bodies: must be a list of texts"),
    "unknown part": ('pedals = ["nobody"]', r"line 1: pedals: there is no pedal 'nobody' \(there are: "),
    "duplicate part": ('pedals = ["all", "all"]', r"line 1: pedals: 'all' is in the list twice"),
    "missing part file": ('pedals = ["no.toml"]', r"no\.toml: cannot be read: No such file"),
    "unknown learn state": ('learn = ["frsh"]', r"'frsh' is no learn state; did you mean 'fresh'\?"),
    "duplicate learn state": ('learn = ["fresh", "fresh"]', r"'fresh' is in the list twice"),
    "hazard": ("hazard = 3", r"line 1: hazard = 3: must be a table"),
    "bench is no table": ("bench = 3", r"line 1: bench = 3: must be a table"),
    "wrong dimension": ('[bench]\nsupply = "12 mm"', r'line 2: bench\.supply = "12 mm": wrong dimension'),
    "unit missing": ("[bench]\nsupply = 12", r"line 2: bench\.supply = 12: the unit is missing"),
    "not finite": ('[bench]\nsupply = "inf V"', r'line 2: bench\.supply = "inf V": must be finite'),
    "out of range": ('[bench]\nsupply = "60 V"', r'line 2: bench\.supply = "60 V": .*36'),
    "unknown bench key": ('[bench]\nsuply = "12 V"', r"line 2: bench\.suply.*did you mean 'supply'\?"),
    "pedal in bench": ('[bench]\npedal = "x"', r"line 2: bench\.pedal = \"x\": is set case by case"),
    "nested out of range": ("[bench.acquisition]\nbits = 40", r"line 2: bench\.acquisition\.bits = 40: .*16"),
    "nested no integer": ("[bench.acquisition]\nbits = 9.5", r"bits = 9\.5: must be a whole number"),
    "nested no flag": ("[bench.controller]\nfeed_forward = 1", r"feed_forward = 1: must be true or false"),
    "deep check": ("[bench.monitor.range]\nenabled = 3", r"line 2: bench\.monitor\.range\.enabled = 3"),
    "unknown stroke": ('stroke = "stomp"', r'line 1: stroke = "stomp": there is no such stroke'),
    "stroke unit": (
        "stroke = {time = [0, 1], travel = [0, 1]}",
        r"line 1: stroke\.time\[1\] = 0: the unit is missing",
    ),
    "stroke beyond": ('stroke = {time = ["0 s", "1 s"], travel = [0, 2]}', r"line 1: stroke"),
    "stroke lengths": ('stroke = {time = ["0 s", "1 s"], travel = [0]}', r"line 1: stroke"),
    "unknown place": (
        '[[faults]]\nwhere = "roof"\nwhat = "scale"',
        r"line 2: faults\[1\]\.where = \"roof\": no such",
    ),
    "unknown fault": (
        '[[faults]]\nwhere = "supply"\nwhat = "rust"',
        r"line 3: faults\[1\]\.what = \"rust\": no such fault there.*scale",
    ),
    "fault amount": (
        '[[faults]]\nwhere = "supply"\nwhat = "scale"\namount = 1e6',
        r"line 4: faults\[1\]\.amount = 1000000\.0: ",
    ),
    "fault without amount": (
        '[[faults]]\nwhere = "body.return_spring"\nwhat = "scale"',
        r"line 1: faults\[1\]: the fault has no 'amount' \(factor on the return spring",
    ),
    "overlapping faults": (
        '[[faults]]\nwhere = "supply"\nwhat = "scale"\namount = 0.9\n' * 2,
        r"line 5: faults\[2\]: .*already set",
    ),
    "not TOML": ("pedals = [", r"not valid TOML"),
}


@pytest.mark.parametrize(("text", "message"), ERRORS.values(), ids=ERRORS)
def test_errors(tmp_path, text, message):
    path = tmp_path / "study.toml"
    path.write_text(text)
    with pytest.raises(InputError, match=message) as caught:
        reader.load(path)
    assert str(tmp_path) in str(caught.value)


def test_body_where_a_pedal_belongs(tmp_path):
    (tmp_path / "b.toml").write_text('kind = "body"\nname = "b"\n' + TRACKS)
    path = tmp_path / "study.toml"
    path.write_text('pedals = ["b.toml"]')
    with pytest.raises(InputError, match=r"'b\.toml' is a body, not a pedal"):
        reader.load(path)


def test_same_part_by_name_and_by_all(tmp_path, names):
    path = tmp_path / "study.toml"
    path.write_text(f'pedals = ["{names[0][0]}", "all"]')
    with pytest.raises(InputError, match="named twice"):
        reader.load(path)


def test_stale_needs_something_to_swap(tmp_path, names):
    path = tmp_path / "study.toml"
    pair = f'pedals = ["{names[0][0]}"]\nbodies = ["{names[1][0]}"]\n'
    path.write_text(pair)
    assert reader.load(path).learn == ("none", "fresh"), "left out when nobody asks for it"
    path.write_text(pair + 'learn = ["stale"]')
    with pytest.raises(InputError, match="'stale' needs a second pedal or a second body"):
        reader.load(path)
