# SPDX-License-Identifier: BSD-3-Clause
"""Monitor and range learn of one's own in experiments: by program, by command, in processes."""

import textwrap

import pytest
from click.testing import CliRunner
from experiment_support import same

import twintrack as tt
from twintrack.command.cli import main
from twintrack.errors import InputError
from twintrack.experiments import processes
from twintrack.experiments.result import Result
from twintrack.studies import own_controller
from twintrack.studies.isolated import Isolated

SHORT = {"time": ["0 s", "0.5 s", "0.7 s", "2 s"], "travel": [0, 0, 0.6, 0.6]}


class Wrapped:
    """The built-in monitor from Python."""

    def __init__(self, learned, bench, period):
        assert period == bench.control_period
        self.monitor = tt.make_monitor(bench, learned)

    def step(self, seen, last):
        return self.monitor.step(seen, last)


MODULE = textwrap.dedent(
    """
    import twintrack as tt

    class Cautious:
        def step(self, seen, last):
            return "motor off" if last.pedal > 0.3 else "none"

    def monitor(learned, bench, period):
        return Cautious()

    def learn(before, bench, period):
        return tt.make_learn(bench, before)

    class Broken:
        def step(self, seen):
            return tt.Command(duty=float("nan")) if seen.time > 0.5 else tt.Command()

    def broken(before, bench, period):
        return Broken()
    """
)


@pytest.fixture
def module(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    name = "roles_" + tmp_path.name.replace("-", "_")
    (tmp_path / f"{name}.py").write_text(MODULE)
    (tmp_path / "study.toml").write_text(
        'pedals = ["half-slope-low"]\nbodies = ["opposed-six"]\nlearn = ["fresh"]\n'
        f"stroke = {{ time = {SHORT['time']}, travel = {SHORT['travel']} }}\n"
    )
    return name


def command(*words):
    return CliRunner().invoke(main, ["run", "study.toml", "--out", "out", "--quiet", *words])


def test_monitor_and_learn_in_a_study_by_command(module):
    given = ["--unit", f"monitor={module}:monitor", "--unit", f"learn={module}:learn"]
    result = command(*given)
    assert result.exit_code == 0, result.output
    row = Result("out").to_pandas().iloc[0]
    assert (row["solver"], row["status"], row["reaction"]) == ("exact", "completed", "motor off")
    assert set(Result("out").plan.study.units) == {"monitor", "learn"}
    shown = CliRunner().invoke(main, ["show", "out", "0", *given])
    assert "identical to the bit" in shown.output, shown.output
    alone = CliRunner().invoke(main, ["show", "out", "0"])
    assert "give it again (--unit learn=" in alone.output
    twice = command("--unit", f"{module}:a", "--unit", f"{module}:b")
    assert "there is a controller already" in twice.output


def test_a_learn_alone_leaves_the_runs_in_lanes(module):
    assert command("--unit", f"learn={module}:learn").exit_code == 0
    own = Result("out").to_pandas()
    assert own["solver"].tolist() == ["lanes"]
    plain = tt.Study.load("study.toml", solver="exact").run("plain", progress=False).to_pandas()
    assert own["response"].tolist() == plain["response"].tolist() == ["right"]


def test_a_learn_that_fails_is_told_in_the_row(module):
    result = command("--unit", f"learn={module}:broken")
    assert result.exit_code == 1
    row = Result("out").to_pandas().iloc[0]
    assert row["status"] == "unit failed"
    assert row["outcome"] == "the learn answered duty = nan; allowed: -1 to 1 (tick 501)"


def test_what_is_no_role(module):
    study = tt.Study.load("study.toml")
    with pytest.raises(InputError, match="there is no 'moniter'; did you mean 'monitor'"):
        study.run(unit={"moniter": Wrapped})
    with pytest.raises(InputError, match="a shared object or FMU can be a controller only, not a monitor"):
        study.run(unit={"monitor": own_controller.OwnController("x.so", "", Isolated("x.so"))})


def test_an_audit_with_a_monitor_of_ones_own():
    """In every set-up it is the monitor; without it the drift is found by the built-in one."""
    study = tt.Study.make(
        design="audit",
        pedals=["half-slope-low"],
        bodies=["opposed-six"],
        stroke=SHORT,
        audit={"setups": ["default"], "instants": ["part load"]},
        solver="exact",
    )
    table = study.run(unit={"monitor": Wrapped}, cases=4, progress=False).to_pandas()
    plain = study.run(cases=4, progress=False).to_pandas()
    assert table["codes"].str.len().any()
    assert table["codes"].tolist() == plain["codes"].tolist()
    assert table["reaction"].tolist() == plain["reaction"].tolist()


CONTROLLERS = textwrap.dedent(
    """
    import os
    import twintrack as tt

    def make(learned, bench, period):
        return tt.make_controller(bench, learned)

    class Leaves:
        def step(self, seen):
            os._exit(3)

    def leaves(learned, bench, period):
        return Leaves()
    """
)


@pytest.fixture
def in_processes(module, tmp_path, monkeypatch):
    """The name of a module with controllers; every study is worth processes."""
    (tmp_path / f"of_{module}.py").write_text(CONTROLLERS)
    monkeypatch.setattr(processes, "_WORTH_IT", 0)
    return f"of_{module}"


def test_processes_of_python_units_give_the_same_bits(in_processes, monkeypatch):
    study = tt.Study.make(
        pedals=["half-slope-low", "half-slope-high"],
        bodies=["opposed-six"],
        learn=["fresh", "stale"],
        stroke=SHORT,
    )
    unit = f"{in_processes}:make"
    begun = []
    start = processes._Worker.__init__
    monkeypatch.setattr(processes._Worker, "__init__", lambda w, text: (begun.append(w), start(w, text))[1])
    many = study.run("many", unit=unit, jobs=2, progress=False)
    assert len(begun) == 2
    same(many, study.run("one", unit=unit, jobs=1, progress=False))
    assert len(begun) == 2
    assert many.to_pandas()["status"].tolist() == ["completed"] * len(study)


def test_a_process_that_ends_is_told(in_processes):
    study = tt.Study.make(pedals=["half-slope-low"], bodies=["opposed-six"], learn=["fresh"], stroke=SHORT)
    with pytest.raises(RuntimeError, match="a process of the units has ended"):
        study.run("out", unit=f"{in_processes}:leaves", jobs=2, progress=False)


def test_units_that_another_process_cannot_find_stay_in_threads(in_processes):
    study = tt.Study.make(pedals=["half-slope-low"], bodies=["opposed-six"], learn=["fresh"], stroke=SHORT)
    made = []

    def here(learned, bench, period):
        made.append(period)
        return tt.make_controller(bench, learned)

    assert len(study.run(unit=here, jobs=2, progress=False)) == len(made) == 1


def test_a_campaign_with_a_monitor_of_ones_own(module):
    """Every case of the sample has a monitor of its own, which sees that case's values."""
    study = tt.Study.make(
        pedals=["half-slope-low"],
        bodies=["opposed-six"],
        learn=["fresh"],
        stroke=SHORT,
        tolerances={"supply": {"uniform": ["11 V", "14 V"]}},
    )
    seen = []

    class Notes:
        def __init__(self, learned, bench, period):
            self.supply = bench.supply
            seen.append(bench.supply)

        def step(self, told, last):
            return tt.MonitorAnswer(
                "none" if self.supply > 12.5 else "motor off", ["LOW"] * (self.supply <= 12.5)
            )

    table = study.run(unit={"monitor": Notes}, cases=4, jobs=1, progress=False).to_pandas()
    assert sorted(table["supply"]) == sorted(seen)
    assert (table["reaction"] == "motor off").tolist() == (table["supply"] <= 12.5).tolist()
    assert 0 < (table["codes"] == "LOW").sum() < 4
