# SPDX-License-Identifier: BSD-3-Clause
"""The built-in parts, checked from their files alone: what a swap after the learn does at rest.

The limits are the monitor's defaults: 10 % of travel between two tracks (student-competition rules 2024,
T.4.2.4 and IC.4.4.3) and the electrical band 4 … 96 % (published diagnostic bands). That a pedal of another
type gets no answer until the learn is run again is a fact of the trade (common practice, no source). The rest
is analytic.
"""

import itertools
import math
import tomllib
from pathlib import Path

import pytest

import twintrack

FOLDER = Path(twintrack.__file__).with_name("parts")
BAND = (0.04, 0.96)
CORRELATION = 0.10
SURE = 0.03  # of travel beyond or below the limit, so that noise and tolerances cannot turn a verdict
MAP = ([0.0, 0.03, 1.0], [0.02, 0.02, 0.97])  # the controller's default pedal map
PRESSES = [p / 50 for p in range(51)]
JUDGED = [0.0, 0.5, 1.0]  # at rest, half and full


def load(kind):
    parts = [tomllib.loads(path.read_text(encoding="utf-8")) for path in sorted(FOLDER.glob("*.toml"))]
    return {part["name"]: part for part in parts if part["kind"] == kind}


def interpolate(x, xs, ys):
    if x <= xs[0]:
        return ys[0]
    for (x0, y0), (x1, y1) in itertools.pairwise(zip(xs, ys, strict=True)):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return ys[-1]


def output(track, position):
    bow = 4.0 * track.get("bow", 0.0) * position * (1.0 - position)
    return interpolate(position, track.get("position", [0.0, 1.0]), track["ratio"]) + bow


def span(track):
    return output(track, 1.0) - output(track, 0.0)


def believed(learned, plugged, position):
    """Position that the first learned track makes of the plugged part's first track."""
    return (output(plugged["tracks"][0], position) - output(learned["tracks"][0], 0.0)) / span(
        learned["tracks"][0]
    )


def doubt(learned, plugged, position):
    """Largest disagreement of a further track with the first [share of travel]; infinite outside the band."""
    if len(plugged["tracks"]) < len(learned["tracks"]):
        return math.inf  # the track that is missing reads nothing
    at = believed(learned, plugged, position)
    doubts = []
    for known, track in zip(learned["tracks"], plugged["tracks"], strict=False):
        reading = output(track, position)
        if not BAND[0] <= reading <= BAND[1]:
            return math.inf
        doubts.append(abs(reading - expected(known, learned["tracks"][0], at)) / abs(span(known)))
    return max(doubts)


def expected(track, first, at):
    """Reading of a learned track where the first stands at `at`; a straight line beyond the ends."""
    inside = min(max(at, 0.0), 1.0)
    true = position_of(first, output(first, 0.0) + inside * span(first))
    value = output(track, true)
    if at == inside:
        return value
    step = 1.0 / 32.0
    near = output(track, position_of(first, output(first, 0.0) + abs(inside - step) * span(first)))
    return value + (value - near) / step * abs(at - inside)


def position_of(track, value):
    """Inverse of a first track, by bisection."""
    low, high = 0.0, 1.0
    sign = math.copysign(1.0, span(track))
    for _ in range(50):
        middle = 0.5 * (low + high)
        if sign * (output(track, middle) - value) < 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def asked(pedal_position):
    return interpolate(pedal_position, *MAP)


def number(text):
    """Number of degrees or radians in "6.0 deg", in radians."""
    value, unit = text.split()
    return float(value) * (math.pi / 180.0 if unit == "deg" else 1.0)


def default_opening(body):
    stops, springs = body["mechanics"]["stops"], body["mechanics"]["springs"]
    closed, end = number(stops["closed_angle"]), number(stops["open_angle"])
    return min(max((number(springs["rest_angle"]) - closed) / (end - closed), 0.0), 1.0)


PEDALS, BODIES = load("pedal"), load("body")
SWAPS = [("pedal", a, b) for a, b in itertools.permutations(PEDALS, 2)]
SWAPS += [("body", a, b) for a, b in itertools.permutations(BODIES, 2)]


def swap(kind, learned, plugged):
    parts = PEDALS if kind == "pedal" else BODIES
    return parts[learned], parts[plugged]


def rest(kind, part):
    return 0.0 if kind == "pedal" else default_opening(part)


@pytest.mark.parametrize(("kind", "learned", "plugged"), SWAPS)
def test_another_arrangement_is_seen_at_rest_and_the_same_one_is_believed(kind, learned, plugged):
    a, b = swap(kind, learned, plugged)
    if a["arrangement"] != b["arrangement"]:
        assert doubt(a, b, rest(kind, b)) > CORRELATION + SURE
    else:
        assert max(doubt(a, b, p / 50) for p in range(51)) < CORRELATION - SURE


@pytest.mark.parametrize(("kind", "name"), [("pedal", n) for n in PEDALS] + [("body", n) for n in BODIES])
def test_a_part_agrees_with_its_own_learn(kind, name):
    part = swap(kind, name, name)[0]
    assert max(doubt(part, part, p / 50) for p in range(51)) < 1e-9
    # The straight line of the first track stays within 1 % of its travel: a fresh learn is right within 2 %.
    assert max(abs(believed(part, part, p / 50) - p / 50) for p in range(51)) < 0.01


def pedal_errors(learned, plugged):
    a, b = PEDALS[learned], PEDALS[plugged]
    return {p: asked(believed(a, b, p)) - asked(p) for p in PRESSES}


def same_arrangement(parts):
    return [
        (a, b)
        for a, b in itertools.permutations(parts, 2)
        if parts[a]["arrangement"] == parts[b]["arrangement"]
    ]


def test_a_stale_pedal_that_is_believed_is_wrong_and_one_is_unsafe():
    errors = {swap: pedal_errors(*swap) for swap in same_arrangement(PEDALS)}
    assert len(errors) >= 4
    uncommanded = ("half-slope-low", "half-slope-high")
    for swap, found in errors.items():
        assert max(abs(found[p]) for p in JUDGED) > 0.02 + SURE
        if swap != uncommanded:
            assert max(found.values()) < 0.10 - SURE
    assert errors[uncommanded][0.0] > 0.10 + SURE


def body_errors(learned, plugged):
    """True opening less the one asked for: the loop turns the blade until it believes that."""
    a, b = BODIES[learned], BODIES[plugged]
    readings = {p: output(a["tracks"][0], 0.0) + asked(p) * span(a["tracks"][0]) for p in PRESSES}
    return {p: position_of(b["tracks"][0], reading) - asked(p) for p, reading in readings.items()}


def test_a_stale_body_that_is_believed_is_wrong_and_some_are_unsafe():
    errors = {swap: body_errors(*swap) for swap in same_arrangement(BODIES)}
    assert len(errors) >= 4
    uncommanded = {("opposed-high", "opposed-six"), ("opposed-high", "set-a")}
    for swap, found in errors.items():
        assert max(abs(found[p]) for p in JUDGED) > 0.02 + 0.015
        if swap in uncommanded:
            assert found[0.0] > 0.10 + 0.025
        else:
            assert max(found.values()) < 0.10 - SURE


def test_the_unpowered_blade_stands_less_than_a_tenth_open():
    for name, body in BODIES.items():
        assert default_opening(body) < 0.09, name
        assert (default_opening(body) > 0.05) == (not name.startswith("set-")), name


def test_there_are_parts_of_every_kind_and_each_says_where_it_comes_from():
    arrangements = {"half-slope", "parallel with offset", "opposed", "knee", "three tracks"}
    assert {p["arrangement"] for p in PEDALS.values()} == arrangements
    assert {b["arrangement"] for b in BODIES.values()} == arrangements
    assert {b["supply"] for b in BODIES.values()} == {"shared", "separate"}
    assert {b["connectors"] for b in BODIES.values()} == {"one", "split"}
    assert len(PEDALS) >= 7
    assert len(BODIES) >= 8
    for path in FOLDER.glob("*.toml"):
        lines = path.read_text(encoding="utf-8").splitlines()
        assert lines[0] == "# SPDX-License-Identifier: BSD-3-Clause"
        assert path.stem == tomllib.loads("\n".join(lines))["name"]
        cited = path.stem.startswith("set-")
        assert lines[1].startswith("# Parameter set" if cited else "# Invented for demonstration")
        assert ("invented for demonstration" in "\n".join(lines)) != cited
