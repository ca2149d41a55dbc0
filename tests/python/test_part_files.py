# SPDX-License-Identifier: BSD-3-Clause
"""Loading parts from files: every error is answered with file, line, key, value and what is allowed."""

import math

import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.parts import catalogue as parts

PEDAL = """kind = "pedal"
name = "mine"
travel = "18 deg"

[[tracks]]
ratio = [0.1, 0.8]

[[tracks]]
ratio = [0.05, 0.4]
noise = 0.001
"""


@pytest.fixture
def write(tmp_path):
    def write(text):
        path = tmp_path / "part.toml"
        path.write_text(text)
        return path

    return write


def test_pedal_file(write):
    kind, pedal = parts.load(write(PEDAL))
    assert kind == "pedal"
    assert pedal.name == "mine"
    assert pedal.travel == pytest.approx(math.radians(18), rel=1e-15)
    assert [track.noise for track in pedal.tracks] == [tt.TrackParameters().noise, 0.001]


def test_all_built_in_parts_load():
    assert len(tt.pedals()) >= 6
    assert len(tt.bodies()) >= 5
    for name, pedal in tt.pedals().items():
        assert tt.pedal(name) == pedal
    for name, body in tt.bodies().items():
        assert tt.body(name) == body


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("noise", "nose", r"line 10: tracks\[2\]\.nose = 0\.001: unknown key; did you mean 'noise'\?"),
        ("travel", "voyage", r'line 3: voyage = "18 deg": unknown key'),
        ('"18 deg"', '"18 mm"', r'line 3: travel = "18 mm": wrong dimension'),
        ('"18 deg"', "18", r"line 3: travel = 18: the unit is missing"),
        ('"18 deg"', '"180 deg"', r'line 3: travel = "180 deg": .*1\.5'),
        ('"18 deg"', '"nan deg"', r'line 3: travel = "nan deg": must be finite'),
        ("0.001", "nan", r"line 10: tracks\[2\]\.noise = nan: must be finite"),
        ("0.001", "0.2", r"line 10: tracks\[2\]\.noise = 0\.2: .*0\.1"),
        ("[0.05, 0.4]", "[]", r"line 9: tracks\[2\]\.ratio: must be a list of numbers, not empty"),
        ("[0.05, 0.4]", "[0.05, 4.0]", r"line 9: tracks\[2\]\.ratio\[2\]"),
        ('name = "mine"', "", r"the part has no name"),
        ('name = "mine"', "name = 3", r"line 2: name = 3: must be text"),
        ('"pedal"', '"wheel"', r"line 1: kind = \"wheel\": must be 'pedal', 'body'"),
        ("noise = 0.001", 'kind = "hal"', r"must be one of potentiometer, hall; did you mean 'hall'\?"),
        ('travel = "18 deg"', "tracks = 3", r"not valid TOML"),
    ],
)
def test_errors(write, old, new, message):
    path = write(PEDAL.replace(old, new))
    with pytest.raises(InputError, match=message) as caught:
        parts.load(path)
    assert str(caught.value).startswith(str(path))


def test_unknown_name_lists_those_there_are():
    known = next(iter(tt.pedals()))
    with pytest.raises(
        InputError, match=rf"there is no pedal '{known}x'; did you mean '{known}'\? \(there are: "
    ):
        tt.pedal(known + "x")


VOLTS = """kind = "pedal"
name = "measured"

[[tracks]]
volts = ["0.70 V", "3.60 V"]
volts_supply = "5.0 V"

[[tracks]]
volts = ["350 mV", "1.80 V"]
volts_supply = "5.0 V"
"""


def test_ends_may_be_given_in_volts_of_a_stated_supply(write):
    _, pedal = parts.load(write(VOLTS))
    assert list(pedal.tracks[0].ratio) == pytest.approx([0.14, 0.72], rel=1e-15)
    assert list(pedal.tracks[1].ratio) == pytest.approx([0.07, 0.36], rel=1e-15)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            '"3.60 V"',
            '"5.60 V"',
            r'line 5: tracks\[1\]\.volts\[2\] = "5\.60 V": must lie between 0 V and the supply',
        ),
        ('volts_supply = "5.0 V"', "", r"line 5: tracks\[1\]\.volts: 'volts_supply' is missing"),
        ('"5.0 V"', '"0 V"', r'tracks\[1\]\.volts_supply = "0 V": must be above 0 V'),
        ('"5.0 V"', '"5.0 A"', r"line 6: tracks\[1\]\.volts_supply = .*wrong dimension"),
        ('["0.70 V", "3.60 V"]', "0.7", r"line 5: tracks\[1\]\.volts = 0\.7: must be a list of voltages"),
        (
            '["0.70 V", "3.60 V"]',
            "[0.7, 3.6]",
            r"line 5: tracks\[1\]\.volts\[1\] = 0\.7: the unit is missing",
        ),
        (
            'volts = ["0.70 V"',
            'ratio = [0.1, 0.9]\nvolts = ["0.70 V"',
            r"a track has either 'ratio' or 'volts'",
        ),
    ],
)
def test_errors_in_volts(write, old, new, message):
    with pytest.raises(InputError, match=message):
        parts.load(write(VOLTS.replace(old, new)))


def test_a_part_without_origin_says_so(write):
    assert parts.load(write(VOLTS))[1].origin == "no origin given"


def test_a_byte_order_mark_is_read(tmp_path):
    path = tmp_path / "part.toml"
    path.write_bytes(b"\xef\xbb\xbf" + PEDAL.encode())
    assert parts.load(path)[1].name == "mine"
