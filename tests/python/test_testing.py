# SPDX-License-Identifier: BSD-3-Clause
"""The pytest plug-in: ten seeded defects of a controller in C, and what its assertions say."""

import os
import subprocess
import sys
import xml.etree.ElementTree as xml

import numpy as np
import pytest
from seeded_defects import DEFECTS, TOP, build

import twintrack as tt
from twintrack.testing.drive import Drive
from twintrack.testing.picture import picture

PRESS = tt.Stroke(time=[0.0, 1.0, 1.2, 2.4], travel=[0.0, 0.0, 0.6, 0.6])


def suite(*words, text=None, folder=None):
    """Runs the example's suite, or that of ``text``, in a process of its own."""
    place = TOP / "examples" / "suite"
    if text is not None:
        place = folder / "test_it.py"
        place.write_text(text)
    program = [
        sys.executable,
        "-m",
        "pytest",
        "-q",
        "-p",
        "no:cacheprovider",
        "-p",
        "twintrack.testing.plugin",
    ]
    package = os.fspath(os.path.dirname(os.path.dirname(tt.__file__)))
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([package, os.environ.get("PYTHONPATH", "")])}
    return subprocess.run(
        [
            *program,
            "-c",
            os.devnull,
            "--rootdir",
            str(place if place.is_dir() else folder),
            str(place),
            *words,
        ],
        capture_output=True,
        text=True,
        check=False,
        env=environment,
        cwd=folder,
    )


@pytest.fixture(scope="module")
def verdicts(tmp_path_factory):
    """How many of the default tests each controller failed and passed, in one run: the healthy one and each
    defect. Every single fault is left to the example, which the gate runs."""
    folder = tmp_path_factory.mktemp("defects")
    words = []
    for name in ["healthy", *DEFECTS]:
        words += ["--twintrack-unit", str(build(folder, name))]
    chosen = "not never_learned and not every_single_fault and not broken_signal"
    done = suite(*words, "-k", chosen, "--junit-xml", str(folder / "found.xml"), folder=folder)
    counts = {name: [0, 0] for name in ["healthy", *DEFECTS]}
    for case in xml.parse(folder / "found.xml").getroot().iter("testcase"):
        unit = case.get("name").partition("[")[2].rstrip("]").split("-")[0]
        counts[unit][case.find("failure") is None] += 1
    return counts, done.stdout


def test_the_healthy_controller_passes(verdicts):
    counts, output = verdicts
    failed, passed = counts["healthy"]
    assert failed == 0, output
    assert passed == 8


@pytest.mark.parametrize("name", DEFECTS)
def test_each_seeded_defect_is_found(verdicts, name):
    """Typical bugs by common practice, no source."""
    failed, _ = verdicts[0][name]
    assert failed > 0


def test_a_failure_shows_what_is_allowed_and_a_picture(verdicts):
    assert "set point − blade: " in verdicts[1]
    assert "allowed: 2.00%" in verdicts[1]
    assert "blade.opening" in verdicts[1]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--twintrack-pedal", "no such"], "no such"),
        (["--twintrack-unit", "nothing.so"], "nothing.so"),
        (["--twintrack-unit", "nothing"], "expected 'module:factory'"),
    ],
)
def test_bad_options_are_one_clear_message(tmp_path, words, message):
    done = suite(*words, text="def test_it(twintrack_drive, twintrack_fault): pass\n", folder=tmp_path)
    assert done.returncode == pytest.ExitCode.USAGE_ERROR, done.stdout
    assert message in done.stdout + done.stderr
    assert "Traceback" not in done.stdout + done.stderr


@pytest.fixture(scope="module")
def bench():
    made = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert made.learn().accepted
    return made


def driven(bench, *faults, **more):
    start = min((fault.start for fault in faults), default=0.0)
    return Drive(bench.run(PRESS, faults=faults, **more), PRESS, start)


def test_assertions_about_a_healthy_drive(bench):
    drive = driven(bench)
    assert drive.completes().sets_no_code().follows().believes_what_is_so().blade_stays(-0.01, 0.62) is drive
    assert drive.holds() == [(0.0, 1.0), (1.2, 2.4)]
    assert drive.unasked_time(drive) == 0.0
    with pytest.raises(AssertionError, match=r"the blade is at 30\.\d% .*allowed: -100\.0% to 30\.0%"):
        drive.blade_stays(most=0.3)
    with pytest.raises(AssertionError, match="ripple"):
        drive.follows(ripple=0.0)
    with pytest.raises(AssertionError, match="does not set P2135; it sets none"):
        drive.sets_code("P2135", within=1.0)
    with pytest.raises(AssertionError, match="never reacts with 'idle' or more; the most is 'none'"):
        drive.reacts("idle", within=1.0)
    with pytest.raises(ValueError, match="'home': allowed are none, limited, idle"):
        drive.reacts("home", within=1.0)
    with pytest.raises(ValueError, match="no tick of this run"):
        drive.blade_stays(since=9.0)


def test_assertions_about_a_fault(bench):
    """A signal wire that breaks: code and reaction, on both sides of the time that is allowed."""
    drive = driven(bench, tt.Fault(where="throttle signal 1", what="open", start=1.8))
    (code, *_) = drive.run.codes
    took = code.confirmed - 1.8
    drive.sets_code(code.code, within=took + 1e-9).reacts("motor off", within=took + 0.01)
    with pytest.raises(AssertionError, match=f"sets {code.code} after {took:.3f} s; allowed"):
        drive.sets_code(code.code, within=took - 0.001)
    with pytest.raises(AssertionError, match="reacts with 'motor off' after"):
        drive.reacts("motor off", within=took - 0.01)
    with pytest.raises(AssertionError, match="no code is allowed"):
        drive.sets_no_code()
    with pytest.raises(AssertionError, match="from where it should be at"):
        drive.stays_beside(driven(bench), within=0.05)


def test_a_controller_that_fails(bench):
    class Late:
        def step(self, seen):
            return tt.Command(mode="drive", duty=0.1 if seen.time < 0.5 else 3.0)

    with pytest.raises(AssertionError, match=r"unit failed at 0\.500 s: .*duty = 3; allowed"):
        driven(bench, controller=Late()).completes()


def test_the_picture(bench):
    lines = picture(driven(bench).record, at=1.2, width=24).splitlines()
    assert [line.split()[0] for line in lines] == ["asked", "blade.opening", "duty", "reaction", "0", "^"]
    asked = lines[0].split()[2]
    assert len(asked) == 24
    assert asked == "▁" * 10 + asked[10:12] + "█" * 12
    assert lines[-1].index("^") == lines[0].index("▁") + 12


LAW = """
#include <stdlib.h>
#include "twintrack/c/controller.h"
static double held[2][2];
uint32_t twintrack_version(void) { return VERSION; }
void *twintrack_new(const twintrack_learned *l, double period, char *error, size_t size) {
    (void)period; (void)error; (void)size;
    held[0][0] = l->pedal[0][0], held[0][1] = l->pedal[0][TWINTRACK_KNOTS - 1];
    held[1][0] = l->throttle[0][0], held[1][1] = l->throttle[0][TWINTRACK_KNOTS - 1];
    return held;
}
int STEP(void *self, const twintrack_input *in, twintrack_command *out) {
    const double pedal = (in->pedal[0] - held[0][0]) / (held[0][1] - held[0][0]);
    const double opening = (in->throttle[0] - held[1][0]) / (held[1][1] - held[1][0]);
    (void)self;
    out->mode = in->motor_permitted ? TWINTRACK_DRIVE : TWINTRACK_HIGH_IMPEDANCE;
    out->duty = 0.5 * (pedal - opening);
    out->pedal = out->demand = out->set_point = pedal, out->opening = opening;
    return ANSWER;
}
void twintrack_delete(void *self) { (void)self; }
"""


def compiled(folder, name="law", **words):
    text = LAW
    for word, value in (
        {"VERSION": "TWINTRACK_C_VERSION", "STEP": "twintrack_step", "ANSWER": "0"} | words
    ).items():
        text = text.replace(f"return {word}", f"return {value}").replace(f"int {word}(", f"int {value}(")
    (folder / f"{name}.c").write_text(text)
    made = folder / f"{name}.so"
    command = ["cc", "-std=c99", "-O2", "-ffp-contract=off", "-shared", "-fPIC", "-I", str(TOP / "include")]
    subprocess.run([*command, "-o", str(made), str(folder / f"{name}.c")], check=True)
    return str(made)


class Law:
    """The same law in Python."""

    def __init__(self, learned):
        self.pedal, self.throttle = (t[0].curve[[0, -1]].tolist() for t in (learned.pedal, learned.throttle))

    def step(self, seen):
        pedal = (seen.pedal[0] - self.pedal[0]) / (self.pedal[1] - self.pedal[0])
        opening = (seen.throttle[0] - self.throttle[0]) / (self.throttle[1] - self.throttle[0])
        mode = "drive" if seen.motor_permitted else "high_impedance"
        believed = dict(pedal=pedal, demand=pedal, set_point=pedal, opening=opening)
        return tt.Command(mode=mode, duty=0.5 * (pedal - opening), **believed)


def test_one_law_in_c_and_in_python_gives_the_same_bits(bench, tmp_path):
    in_c = bench.run(PRESS, controller=tt.SharedController(compiled(tmp_path)))
    in_python = bench.run(PRESS, controller=Law(bench.learned))
    assert np.ptp(in_c.record["blade.opening"]) > 0.05
    np.testing.assert_array_equal(in_c.record.matrix(), in_python.record.matrix())


def test_what_is_no_controller_in_c(bench, tmp_path):
    text = tmp_path / "text.so"
    text.write_text("no shared object")
    with pytest.raises(tt.InvalidParameter, match=r"text\.so': does not load"):
        tt.SharedController(str(text))
    with pytest.raises(tt.InvalidParameter, match=r"is of version 99 of .*; allowed: 1"):
        tt.SharedController(compiled(tmp_path, "version", VERSION="99"))
    with pytest.raises(tt.InvalidParameter, match="has no function twintrack_step"):
        tt.SharedController(compiled(tmp_path, "symbol", STEP="step"))
    failing = bench.run(PRESS, controller=tt.SharedController(compiled(tmp_path, "failing", ANSWER="7")))
    assert failing.outcome.status == "unit failed"
    assert "twintrack_step answered 7" in failing.outcome.reason
    lone = bench.session(PRESS, controller=tt.SharedController(compiled(tmp_path)))
    with pytest.raises(tt.InvalidParameter, match="cannot be copied"):
        lone.fork()
    unlearned = tt.Bench(pedal="half-slope-low", body="opposed-six")
    with pytest.raises(tt.InvalidParameter, match="needs a learned range"):
        unlearned.run(PRESS, controller=tt.SharedController(str(build(tmp_path))))
