# SPDX-License-Identifier: BSD-3-Clause
"""What everybody in the trade has seen, on every pair of the built-in parts. Common practice, no source."""

import itertools
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

import twintrack as tt

PEDALS = {name: tt.pedal(name) for name in tt.pedals()}
BODIES = {name: tt.body(name) for name in tt.bodies()}
PAIRS = list(itertools.product(PEDALS, BODIES))


def bench_of(pedal, body):
    return tt.BenchParameters(pedal=PEDALS[pedal], body=BODIES[body])


def on_all_cores(function, items):
    """Results by item; the work releases the interpreter lock."""
    with ThreadPoolExecutor() as pool:
        return dict(zip(items, pool.map(lambda item: function(*item), items), strict=True))


@pytest.fixture(scope="module")
def learns():
    return on_all_cores(lambda pedal, body: tt.learn(bench_of(pedal, body)), PAIRS)


def test_any_of_these_pedals_works_with_any_of_these_bodies_after_the_learn(learns):
    refused = {pair: run.reason for pair, run in learns.items() if not run.accepted}
    assert not refused
    found = on_all_cores(
        lambda pedal, body: (
            tt.run_case(
                tt.Case(parameters=bench_of(pedal, body)), learned=learns[pedal, body].result
            ).response
        ),
        PAIRS,
    )
    assert len(found) >= 6 * 5
    assert set(found.values()) == {"right"}


def test_there_is_no_throttle_response_before_the_learn():
    found = on_all_cores(
        lambda pedal, body: tt.run_case(tt.Case(parameters=bench_of(pedal, body), learn="none")).response,
        PAIRS,
    )
    assert set(found.values()) == {"none"}


def test_no_response_after_a_pedal_of_another_type_until_the_learn_is_run_again(learns):
    def swapped(plugged, body, learned_with):
        case = tt.Case(parameters=bench_of(plugged, body), learn="stale", learn_pedal=PEDALS[learned_with])
        return tt.run_case(case, learned=learns[learned_with, body].result).response

    swaps = [
        (plugged, body, learned_with)
        for plugged, learned_with in itertools.permutations(PEDALS, 2)
        for body in BODIES
        if PEDALS[plugged].arrangement != PEDALS[learned_with].arrangement
    ]
    assert len(swaps) > 100
    found = on_all_cores(swapped, swaps)
    assert {swap: answer for swap, answer in found.items() if answer != "none"} == {}


def test_the_blade_moves_by_itself_during_the_learn(learns):
    for pair, run in learns.items():
        untouched = run.record["pedal.travel"] == 0.0
        untouched &= np.cumsum(~untouched) == 0  # until the foot first moves
        blade = run.record["blade.opening"][untouched]
        assert blade.min() < 0.01, pair
        assert blade.max() > 0.99, pair


def test_the_blade_twitches_when_the_key_goes_on(learns):
    def twitch(pedal, body):
        run = tt.run(bench_of(pedal, body), tt.Stroke.rest(0.6), learned=learns[pedal, body].range)
        blade = run.record["blade.opening"]
        return blade.max() - blade[0]

    found = on_all_cores(twitch, PAIRS)
    assert min(found.values()) > 0.01
    assert max(found.values()) < 0.10


@pytest.mark.parametrize(
    ("first", "second"), [(0.0, 0.0), (1.0, 0.0), (1.0, 0.5)], ids=["never", "once", "second one half"]
)
def test_the_learn_wants_two_full_presses(first, second):
    stroke = tt.Stroke(
        time=[0, 8, 9, 9.5, 10.5, 11, 12, 12.5, 13.5, 22],
        travel=[0, 0, first, first, 0, 0, second, second, 0, 0],
    )
    found = on_all_cores(lambda pedal, body: tt.learn(bench_of(pedal, body), stroke), PAIRS)
    assert not any(run.accepted for run in found.values())
    assert all(len(run.reason.split()) > 5 for run in found.values()), "the reason is a sentence"
