# SPDX-License-Identifier: BSD-3-Clause
"""A controller in C as a shared object: compiled strictly, run, forked, refused."""

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "examples" / "own_controller.c"
STRICT = ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", "-O2", "-shared", "-fPIC"]
STROKE = tt.Stroke(time=[0, 0.5, 0.7, 2.0, 2.2, 3.5], travel=[0, 0, 0.6, 0.6, 0, 0])

#: A whole controller that the defects below replace parts of.
LEAST = """#include <math.h>
#include <stdlib.h>
#include "twintrack/c/controller.h"
uint32_t twintrack_version(void) { return TWINTRACK_C_VERSION; }
void *twintrack_new(const twintrack_learned *l, double p, char *e, size_t n) {
    (void)l, (void)p, (void)e, (void)n;
    return malloc(1);
}
int twintrack_step(void *c, const twintrack_input *i, twintrack_command *o) {
    (void)c, (void)i, (void)o;
    return 0;
}
void twintrack_delete(void *c) { free(c); }
"""


def compiled(source, folder, compiler="cc"):
    path = folder / f"{Path(source).stem}_{compiler}.so"
    command = [compiler, *STRICT, "-I", str(ROOT / "include"), "-o", str(path), str(source), "-lm"]
    subprocess.run(command, check=True, capture_output=True, text=True)
    return str(path)


def least(folder, old="", new=""):
    assert old in LEAST
    (folder / "least.c").write_text(LEAST.replace(old, new, 1) if old else LEAST)
    return compiled(folder / "least.c", folder)


@pytest.fixture(scope="module")
def bench():
    bench = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert bench.learn().accepted
    return bench


@pytest.fixture(scope="module")
def example(tmp_path_factory):
    return compiled(SOURCE, tmp_path_factory.mktemp("c"))


def test_the_example_drives_the_bench(bench, example):
    run = bench.run(controller=tt.SharedController(example))
    assert run.outcome.ok
    assert run.codes == []
    assert tt.judge(run.record, tt.Stroke.rest_half_full_rest()) == "right"


def test_two_compilers_give_the_same_bits(bench, example, tmp_path):
    if shutil.which("clang") is None:
        pytest.skip("there is no clang on this machine; one compiler has run the tests above")
    other = compiled(SOURCE, tmp_path, "clang")
    ours, theirs = (bench.run(STROKE, controller=tt.SharedController(p)).record for p in (example, other))
    for name in ("duty", "blade.opening"):
        np.testing.assert_array_equal(ours[name], theirs[name])


class Same:
    """The example's law in Python, without its checks of plausibility."""

    def __init__(self, learned):
        self.pedal, self.throttle = (side[0].curve[[0, -1]] for side in (learned.pedal, learned.throttle))
        self.integral = self.derivative = 0.0
        self.last = None

    def step(self, seen):
        pedal, opening = (
            (read[0] - ends[0]) / (ends[1] - ends[0])
            for read, ends in ((seen.pedal, self.pedal), (seen.throttle, self.throttle))
        )
        demand = min(
            max(0.02 + (0.97 - 0.02) * min(max(pedal, 0.0), 1.0), seen.idle_opening), seen.demand_limit
        )
        if not (seen.motor_permitted and seen.key_on):
            self.last = None
            return tt.Command(pedal=pedal, demand=demand, set_point=demand, opening=opening)
        if self.last is None:
            self.integral, self.derivative, self.last = 0.0, 0.0, opening
        error, speed = demand - opening, (opening - self.last) / 0.001
        self.derivative += (speed - self.derivative) * 0.001 / (0.004 + 0.001)
        self.last = opening
        duty = 3.2 * error + self.integral - 0.055 * self.derivative
        if (duty < 0.95 or error < 0.0) and (duty > -0.95 or error > 0.0):
            self.integral = min(max(self.integral + 25.0 * error * 0.001, -0.8), 0.8)
        duty = min(max(duty, -0.95), 0.95)
        return tt.Command(
            mode="drive", duty=duty, pedal=pedal, demand=demand, set_point=demand, opening=opening
        )


def test_what_crosses_the_interface_is_what_python_sees(bench, example):
    """The same law written in Python gives the same duties to the last bit."""
    ours = bench.run(STROKE, controller=tt.SharedController(example)).record
    theirs = bench.run(STROKE, controller=Same(bench.learned)).record
    for name in ("duty", "demand", "opening", "blade.opening"):
        np.testing.assert_array_equal(ours[name], theirs[name])


def test_a_fork_copies_it(bench, example, tmp_path):
    session = bench.session(STROKE, controller=tt.SharedController(example))
    for _ in range(900):
        session.step()
    fork = session.fork()
    expected = [session.step().command.duty for _ in range(300)]
    assert [fork.step().command.duty for _ in range(300)] == expected
    without = bench.session(STROKE, controller=tt.SharedController(least(tmp_path)))
    with pytest.raises(tt.InvalidParameter, match="cannot be copied: it has no twintrack_copy"):
        without.fork()


def test_in_every_case_by_command(example, tmp_path):
    (tmp_path / "study.toml").write_text(
        'pedals = ["half-slope-low", "half-slope-high"]\nbodies = ["opposed-six", "half-slope-six"]\n'
        'learn = ["none", "fresh"]\n'
    )
    command = ["run", str(tmp_path / "study.toml"), "--out", str(tmp_path / "out"), "--jobs", "2", "--quiet"]
    result = CliRunner().invoke(main, [*command, "--unit", example])
    assert result.exit_code == 0, result.output
    table = tt.Result(tmp_path / "out").to_pandas()
    fresh, none = table[table["learn"] == "fresh"], table[table["learn"] == "none"]
    assert set(fresh["response"]) == {"right"}
    assert set(none["status"]) == {"refused"}
    assert set(none["outcome"]) == {
        f"controller: cannot be made: unit '{example}': refuses: this controller needs a learned range"
    }
    shown = CliRunner().invoke(main, ["show", str(tmp_path / "out"), "4", "--unit", example])
    assert "identical to the bit" in shown.output


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "return TWINTRACK_C_VERSION",
            "return 99u",
            "is of version 99 of twintrack/c/controller.h; allowed: 1",
        ),
        ("int twintrack_step", "int twintrack_stop", "has no function twintrack_step"),
        ("uint32_t twintrack_version", "uint32_t other_version", "has no function twintrack_version"),
    ],
)
def test_what_cannot_be_loaded(tmp_path, old, new, message):
    (tmp_path / "least.c").write_text(LEAST.replace(old, new, 1))
    flags = [flag for flag in STRICT if flag != "-Werror"]
    path = str(tmp_path / "least.so")
    command = ["cc", *flags, "-I", str(ROOT / "include"), "-o", path, str(tmp_path / "least.c")]
    subprocess.run(command, check=True, capture_output=True)
    with pytest.raises(tt.InvalidParameter) as error:
        tt.SharedController(path)
    assert message in str(error.value)
    assert path in str(error.value)


def test_what_is_no_library(tmp_path):
    (tmp_path / "text.so").write_text("nothing to load")
    for path in (tmp_path / "text.so", tmp_path / "absent.so"):
        with pytest.raises(tt.InvalidParameter, match="does not load"):
            tt.SharedController(str(path))
        result = CliRunner().invoke(main, ["run", str(ROOT / "examples/pairing.toml"), "--unit", str(path)])
        assert result.exit_code == 2
        assert "does not load" in result.output


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        ("return 0;", "return -7;", "the controller failed: twintrack_step answered -7"),
        ("(void)o;", "o->duty = NAN;", "the controller answered duty = nan; allowed: -1 to 1"),
        ("(void)o;", "o->mode = 9;", "the controller answered a mode that there is not"),
    ],
)
def test_what_fails_at_a_tick(bench, tmp_path, old, new, reason):
    run = bench.run(STROKE, controller=tt.SharedController(least(tmp_path, old, new)))
    assert run.outcome.status == "unit failed"
    assert run.outcome.reason.startswith(f"{reason} (tick ")


def test_what_refuses_a_run(bench, tmp_path):
    path = least(tmp_path, "return malloc(1);", "return NULL;")
    with pytest.raises(tt.InvalidParameter, match="refuses: twintrack_new answered NULL"):
        bench.run(STROKE, controller=tt.SharedController(path))
