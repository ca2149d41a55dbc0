# SPDX-License-Identifier: BSD-3-Clause
"""A new design is one small file: it runs, resumes, replays and has its page."""

from pathlib import Path

import deposits_design
import pytest
from click.testing import CliRunner
from deposits_design import Deposits

import twintrack as tt
from twintrack.command.cli import main
from twintrack.designs import DESIGNS

STUDY = """design = "deposits"
pedals = ["half-slope-low"]
bodies = ["opposed-six"]
[bench.wiring]
kind = "ideal"
"""


@pytest.fixture
def path(tmp_path, monkeypatch):
    monkeypatch.setitem(DESIGNS, "deposits", Deposits)
    (tmp_path / "study.toml").write_text(STUDY)
    return tmp_path / "study.toml"


def test_it_is_small():
    assert len(Path(deposits_design.__file__).read_text().splitlines()) <= 60


def test_it_runs_resumes_replays_and_has_a_page(path, tmp_path):
    out = tmp_path / "out"
    first = tt.Study.load(path).run(out, cases=5, progress=False)
    assert len(first) == 5
    told = CliRunner().invoke(main, ["run", str(path), "--out", str(out), "--quiet"])
    assert told.exit_code == 0, told.output
    result = tt.Result(out)
    table = result.table
    assert list(table["months"]) == [0] * 3 + [12] * 3 + [24] * 3 + [36] * 3
    assert set(table["setup"]) == set(deposits_design.SETUPS)
    assert set(table.loc[table["months"] == 0, "grade"]) == {"not needed"}
    assert len(set(result.plan.teachers.values())) == 1, "a monitor is no matter of the learn"
    assert result.replay(11).differences == []
    assert "Deposits" in (out / "report.html").read_text()
    assert result.headline in told.output


def test_parameters_scatter_in_it(path, tmp_path):
    path.write_text(STUDY + '[tolerances]\nsupply = { uniform = ["12 V", "14 V"] }\n')
    result = tt.Study.load(path).run(tmp_path / "out", cases=24, progress=False)
    table = result.to_pandas()
    assert table["supply"].nunique() == 2
    assert (table["supply"].iloc[:12] == table["supply"].iloc[0]).all(), "all cases meet the same draw"
    assert result.replay(20).differences == []
