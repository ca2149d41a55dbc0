# SPDX-License-Identifier: BSD-3-Clause
"""Input that nobody should have to read a traceback for, or wait for, or learn about from odd results."""

import json
import os
import re
import time

import mutated_files
import mutated_input
import mutated_text
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.errors import InputError
from twintrack.files import toml_file
from twintrack.parts import catalogue
from twintrack.studies import reader

PAIR = 'pedals = ["half-slope-low"]\nbodies = ["opposed-six"]\nlearn = ["fresh"]\n'


def refusal(tmp_path, text):
    """The message with which `check` refuses a study, within a second or so."""
    path = tmp_path / "study.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    begun = time.monotonic()
    result = CliRunner().invoke(main, ["check", str(path)])
    assert isinstance(result.exception, SystemExit), result.exception
    assert result.exit_code == 2, result.output
    assert time.monotonic() - begun < 10
    assert len(result.output.encode()) < 2000
    return result.output


FILES = {
    "3,000 nested brackets": (b"title = " + b"[" * 3000 + b"]" * 3000, "nested too deeply"),
    "3,000 nested tables": (b"[" + b"a." * 3000 + b"a]\n", "nested too deeply; allowed: 20 levels"),
    "21 nested tables": (b"[" + b"a." * 20 + b"a]\n", "nested too deeply"),
    "5,000 digits": (b"title = " + b"9" * 5000, "not valid TOML: Exceeds the limit"),
    "4,000 digits": (b"[bench]\nseed = " + b"9" * 4000, r"bench\.seed = an integer of 13288 bits: "),
    "a million points": (b"stroke = { time = [" + b"'1 s', " * 1_000_000 + b"] }", "larger than 1000 kB"),
    "many points": (
        b"stroke = { time = [" + b"'1 s'," * 10_001 + b"] }",
        "has 10001 entries; allowed: at most 10000",
    ),
    "a long unit": (
        b"[bench]\nsupply = '13 " + b"V" * 100_000 + b"'",
        r"bench\.supply = \"13 VVV.*not a quantity",
    ),
    "a power in a unit": (b"[bench]\nsupply = '13 V**9**9**9'", "unknown unit"),
    "a long name": (b"pedals = ['" + b"x" * 5000 + b"']", "there is no pedal 'xxx"),
    "a NUL in a path": (b'pedals = ["a\\u0000b.toml"]', "embedded null"),
    "a long path": (b"pedals = ['" + b"x" * 5000 + b".toml']", "File name too long"),
    "a NUL in the title": (PAIR.encode() + b'title = "a\\u0000b"', "title = .*printable characters"),
    "a long title": (PAIR.encode() + b'title = "' + b"x" * 201 + b'"', "at most 200 printable"),
    "a long stroke": (
        PAIR + "stroke = { time = ['0 s', '100000 s'], travel = [0, 0] }",
        "last time of a stroke is 100000 s",
    ),
    "a long record": (
        PAIR + "stroke = { time = ['0 s', '5000 s'], travel = [0, 0] }",
        "record of 5000000.* rows; allowed: at most 4,000,000",
    ),
    "an empty study": ("", 'names no parts; give "pedals" and "bodies"'),
    "a study without parts": ("title = 'x'\n[bench]\nsupply = '12 V'", "names no parts"),
    "a fault after the stroke": (
        PAIR + "[[faults]]\nwhere = 'supply'\nwhat = 'scale'\namount = 0.9\nfrom = '9.5 s'",
        r"line 8: faults\[1\]\.from: half-slope-low with opposed-six: .*starts at 9\.5.*before 9\.5",
    ),
    "every fault after the stroke": (
        PAIR
        + "faults = 'every single wiring fault'\nfaults_from = '9.5 s'\n[bench.wiring]\nkind = 'harness'",
        'line 5: faults_from = "9.5 s": .*before 9.5 s',
    ),
    "a third track of two": (
        PAIR + "[[faults]]\nwhere = 'pedal.track3'\nwhat = 'noise'\namount = 0.1",
        r"line 5: faults\[1\]\.where: half-slope-low with .*there is no pedal\.track3; .* has 2 tracks",
    ),
    "a leak without an engine": (
        PAIR + "[[faults]]\nwhere = 'manifold'\nwhat = 'vacuum_leak'\namount = '1e-5 m^2'",
        r"line 5: faults\[1\]\.where: .*only on a bench with an engine",
    ),
    "a brake fault without a brake": (
        PAIR + "[[faults]]\nwhere = 'brake'\nwhat = 'scale'\namount = 0.5",
        r"line 5: faults\[1\]\.where: .*there is no brake",
    ),
    "a terminal shorted to itself": (
        PAIR + "[[faults]]\nwhere = 'pedal signal 1'\nwhat = 'exchange'\nwith = 'pedal signal 1'",
        r"line 7: faults\[1\]\.with.*must be another terminal",
    ),
    "a broken table of audits": (PAIR + "[audit]\nnonsense = 1", r"line 5: audit\.nonsense"),
    "a broken table of idle maps": (
        PAIR + "[bench]\nengine = 'small-four'\n[idle]\nnonsense = 1",
        r"idle\.nonsense",
    ),
    "a broken table of tolerances": (PAIR + "[tolerances]\nnonsense = 1", r"line 5: tolerances\.nonsense"),
}


@pytest.mark.parametrize(("text", "message"), FILES.values(), ids=FILES)
def test_refused(tmp_path, text, message):
    assert re.search(message, refusal(tmp_path, text), re.DOTALL), refusal(tmp_path, text)


def test_limits_take_what_lies_on_them(tmp_path):
    """Neighbours of the refused: a fault at the last instant, a title of 200, 20 levels, a third track."""
    path = tmp_path / "study.toml"
    path.write_text(
        'pedals = ["three-track"]\nbodies = ["opposed-six"]\nlearn = ["fresh"]\n'
        + f"title = '{'x' * 200}'\n"
        + "[[faults]]\nwhere = 'pedal.track3'\nwhat = 'noise'\namount = 0.1\nfrom = '9.499 s'\n"
        + "[[faults]]\nwhere = 'brake'\nwhat = 'scale'\namount = 0.5\n[[brake]]\nfrom = '1 s'\nto = '2 s'\n"
    )
    assert len(reader.load(path).faults) == 2
    path.write_text("[" + "a." * 19 + "a]\n")
    assert toml_file.read(path).table


@pytest.mark.parametrize("design", ["pairing", "audit", "learning", "idle maps"])
def test_no_design_overlooks_a_table(tmp_path, design):
    path = tmp_path / "study.toml"
    scenario = 'scenario = "idle"\n' if design == "idle maps" else ""
    path.write_text(f'design = "{design}"\n' + scenario + PAIR + "[tolerances]\nnonsense = 1")
    result = CliRunner().invoke(main, ["run", str(path), "--out", str(tmp_path / "out")])
    assert result.exit_code == 2
    assert "tolerances.nonsense" in result.output
    assert not (tmp_path / "out").exists()


def test_byte_order_mark_and_line_ends_of_other_systems(tmp_path):
    path = tmp_path / "study.toml"
    path.write_bytes(b"\xef\xbb\xbf" + PAIR.replace("\n", "\r\n").encode())
    assert list(reader.load(path).pedals) == ["half-slope-low"]
    path.write_bytes(b"\xef\xbb\xbf" + PAIR.encode() + b"oops = 1\n")
    with pytest.raises(InputError, match="line 4: oops"):
        reader.load(path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")
def test_files_that_never_end(tmp_path):
    os.mkfifo(tmp_path / "fifo")
    for path in (tmp_path / "fifo", "/dev/zero"):
        with pytest.raises(InputError, match="not a regular file"):
            reader.load(path)
        with pytest.raises(InputError, match="not a regular file"):
            tt.load_range(path)


PART = "kind = 'pedal'\nname = 'mine'\n"
TRACKS = "[[tracks]]\nratio = [0.1, 0.8]\n[[tracks]]\nratio = [0.05, 0.4]\n"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (PART, "the pedal has no tracks"),
        ("kind = 'body'\nname = 'mine'\n", "the body has no tracks"),
        (PART.replace("mine", "x" * 61) + TRACKS, "1 to 60 printable"),
        (PART.replace("'mine'", '"a\\u0000b"') + TRACKS, "1 to 60 printable"),
        (PART.replace("mine", "a/b") + TRACKS, "must have no '/'"),
        (PART.replace("mine", "") + TRACKS, "1 to 60 printable"),
        (PART + TRACKS.replace("0.8", "0.109"), r"line 4: tracks\[1\]\.ratio: the track is flat"),
    ],
)
def test_refused_parts(tmp_path, text, message):
    path = tmp_path / "part.toml"
    path.write_text(text)
    with pytest.raises(InputError, match=message):
        catalogue.load(path)


def test_part_without_an_origin_says_so(tmp_path):
    path = tmp_path / "part.toml"
    path.write_text(PART.replace("mine", "x" * 60) + TRACKS.replace("0.8", "0.111"))
    assert catalogue.load(path)[1].origin == "no origin given"
    assert tt.ThrottleBodyParameters().origin == "no origin given"
    assert all(part.origin != "no origin given" for part in [*tt.pedals().values(), *tt.bodies().values()])


def test_learned_ranges(tmp_path):
    good = mutated_files.learned().to_dict()
    path = tmp_path / "range.json"
    wrong = {
        "nested": "[" * 3000 + "]" * 3000,
        "no table": "[]",
        "deep": json.dumps(good | {"pedal": mutated_text.NESTED}),
        "tracks": json.dumps(good | {"pedal": [[0.1] * 33] * 4}),
        "short": json.dumps(good | {"pedal": [[0.1] * 32, [0.2] * 33]}),
        "text": json.dumps(good | {"supply": "12"}),
        "digits": json.dumps(good).replace("0.07", "9" * 5000),
        "unknown": json.dumps(good | {"nonsense": 1}),
    }
    for name, text in wrong.items():
        path.write_text(text)
        with pytest.raises(InputError, match=r"range\.json: ") as caught:
            tt.load_range(path)
        assert len(str(caught.value)) < 1000, name
    path.write_text("\ufeff" + json.dumps(good))
    assert tt.load_range(path) == mutated_files.learned()
    with pytest.raises(InputError, match="cannot be written"):
        tt.save_range(mutated_files.learned(), tmp_path / ("x" * 300))


def test_arguments_beyond_reason():
    for arguments in (
        ["run", "x.toml", "--out", "x", "--jobs", "9" * 20],
        ["run", "x.toml", "--cases", "9" * 20],
    ):
        result = CliRunner().invoke(main, arguments)
        assert result.exit_code == 2
        assert "is not in the range" in result.output or "names no parts" in result.output, result.output


def test_refused_learn_says_so():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert "accepted" in repr(bench.learn())
    refused = bench.learn(disturbances=["pressed_once"])
    assert not refused.accepted
    assert f"refused ({refused.refusal})" in repr(refused)
    assert "completed" not in repr(refused)


def test_mutants():
    """A hundred of what `.ci/sweeps` makes a thousand of."""
    found = mutated_input.count(100, seed=20)
    assert found.keys() <= {"refused", "taken"}, found
    assert found["refused"] >= 50
