# SPDX-License-Identifier: BSD-3-Clause
"""A controller in a process of its own: one that crashes or hangs ends its case and nothing else."""

import numpy as np
import pytest
from click.testing import CliRunner
from seeded_defects import SOURCE, build

import twintrack as tt
from twintrack.command.cli import main
from twintrack.errors import InputError
from twintrack.experiments.result import Result
from twintrack.studies import own_controller
from twintrack.studies.isolated import Isolated

PRESS = tt.Stroke(time=[0.0, 0.3, 0.4, 0.6], travel=[0.0, 0.0, 0.6, 0.6])

#: What happens in the tick at 0.2 s.
TROUBLES = {
    "crashing": "abort();",
    "leaving": "exit(3);",
    "hanging": "for (;;) { volatile int idle = 0; (void)idle; }",
}


def troubled(folder, name):
    """The example with a trouble in it."""
    text, first = SOURCE.read_text(), "    double error, speed, duty;\n"
    assert text.count(first) == 1
    text = text.replace(first, f"{first}    if (in->time > 0.1995) {{ {TROUBLES[name]} }}\n")
    return build(folder, name, text=text)


@pytest.fixture(scope="module")
def bench():
    made = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert made.learn().accepted
    return made


def ran(bench, path, **limits):
    controller = Isolated(str(path), **limits)(bench.learned, bench.parameters, 0.001)
    return bench.run(PRESS, controller=controller), controller


def test_the_same_bits_as_in_this_process(bench, tmp_path):
    path = build(tmp_path)
    far, _ = ran(bench, path, tick_limit=60.0)
    near = bench.run(PRESS, controller=tt.SharedController(str(path)))
    assert far.outcome.ok
    np.testing.assert_array_equal(far.record.matrix(), near.record.matrix())


@pytest.mark.parametrize(
    ("name", "told"),
    [("crashing", "its process has ended by signal 6"), ("leaving", "its process has ended with status 3")],
)
def test_one_that_ends_its_process(bench, tmp_path, name, told):
    run, _ = ran(bench, troubled(tmp_path, name))
    assert run.outcome.status == "unit failed"
    assert run.outcome.when == pytest.approx(0.2)
    assert told in run.outcome.reason


def test_one_that_hangs_is_ended(bench, tmp_path):
    run, controller = ran(bench, troubled(tmp_path, "hanging"), tick_limit=0.3)
    assert run.outcome.status == "unit failed"
    assert "took more than 0.3 s to answer a tick" in run.outcome.reason
    assert controller._process.returncode == -9


def test_the_limit_of_a_case(bench, tmp_path):
    """Six hundred ticks cannot be answered in a millisecond in all."""
    run, _ = ran(bench, build(tmp_path), case_limit=0.001)
    assert run.outcome.status == "unit failed"
    assert "to answer a tick" in run.outcome.reason
    with pytest.raises(tt.InvalidParameter, match="tick_limit = 0: a positive number of seconds"):
        Isolated("x.so", tick_limit=0)


def test_by_command_the_other_cases_go_on(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "study.toml").write_text(
        'pedals = ["half-slope-low"]\nbodies = ["opposed-six"]\nlearn = ["none", "fresh"]\n'
        'stroke = { time = ["0 s", "0.3 s", "0.5 s"], travel = [0, 0, 0.4] }\n'
    )
    path = troubled(tmp_path, "crashing")
    words = ["run", "study.toml", "--out", "out", "--quiet", "--unit", str(path), "--isolate"]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 1, result.output
    table = Result("out").to_pandas()
    assert table["status"].tolist() == ["refused", "unit failed"]
    assert "needs a learned range" in table["outcome"][0]
    assert "by signal 6" in table["outcome"][1]
    with pytest.raises(InputError, match=r"only a shared object \(\*\.so\) can be isolated"):
        own_controller.load("module:make", isolated=True)
