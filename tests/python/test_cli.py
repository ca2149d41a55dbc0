# SPDX-License-Identifier: BSD-3-Clause
"""The command: what it prints, its exit status, how fast it starts."""

import re
import signal
import subprocess
import sys
import time

import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.cautions import CAUTION
from twintrack.command.cli import main
from twintrack.parts.catalogue import load


def command(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


def spawn(*words, **keywords):
    return subprocess.Popen([sys.executable, "-m", "twintrack", *map(str, words)], text=True, **keywords)


def test_run(study_file, tmp_path):
    result = command("run", study_file, "--out", tmp_path / "out", "--jobs", 2, "--quiet")
    assert result.exit_code == 0, result.output
    assert (
        "Before any range learn none of the 4 pairs responds; after it all 4 pairs respond right."
        in result.output
    )
    assert str(tmp_path / "out" / "report.html") in result.output
    assert (tmp_path / "out" / "report.html").exists()


def test_check(study_file):
    result = command("check", study_file)
    assert result.exit_code == 0
    assert (
        result.output == "small: pairing, 2 pedals, 2 throttle bodies, 16 cases (4 none, 4 fresh, 8 stale)\n"
    )


def test_parts_lists_every_part():
    result = command("list", "parts")
    assert result.exit_code == 0
    words = result.output.split()
    assert set(tt.pedals()) | set(tt.bodies()) <= set(words)


@pytest.mark.parametrize("kind", [tt.pedals, tt.bodies])
def test_one_part_is_a_part_file(kind, tmp_path):
    """What is printed can be saved and used: it gives the part back to the bit."""
    for name, part in kind().items():
        result = command("list", "parts", name)
        assert result.exit_code == 0
        assert part.origin in result.output
        assert all(terminal in result.output for _, terminal in part.terminals())
        path = tmp_path / f"{name}.toml"
        path.write_text(result.output)
        assert load(path)[1] == part, name


def test_faults_lists_every_fault():
    result = command("list", "faults")
    assert result.exit_code == 0
    lines = [re.split("  +", line)[:2] for line in result.output.splitlines()[1:]]
    kinds = [*tt.fault_catalogue(), *tt.wiring_fault_kinds()]
    assert lines == [[kind.where, kind.what] for kind in kinds]


TRACKS = "[[tracks]]\nratio = [0.1, 0.8]\n[[tracks]]\nratio = [0.05, 0.4]\n"


def test_part_file(tmp_path):
    path = tmp_path / "mine.toml"
    path.write_text('kind = "pedal"\nname = "mine"\ntravel = "20 deg"\n' + TRACKS)
    result = command("list", "parts", path)
    assert result.exit_code == 0
    assert 'travel = "20 deg"' in result.output


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["run", "nothing.toml", "--out", "x"], "nothing.toml: cannot be read: No such file or directory"),
        (["check", "nothing.toml"], "nothing.toml: cannot be read: No such file or directory"),
        (["list", "parts", "nobody"], "there is no part 'nobody'"),
        (["list", "parts", "nobody.toml"], "nobody.toml: cannot be read"),
        (["list", "disturbances", "deposits"], "give no name"),
        (["list", "things"], "'things' is not one of"),
        (["run", "study.toml", "--out", "x", "--jobs", "0"], "'--jobs'"),
        (["fly"], "No such command 'fly'"),
    ],
)
def test_errors_end_with_status_2(words, message):
    result = command(*words)
    assert result.exit_code == 2
    assert message in result.output
    assert "Traceback" not in result.output


def test_errors_in_the_study_leaves_nothing(study_file, tmp_path):
    study_file.write_text('[bench]\nsupply = "12 mm"\n')
    result = command("run", study_file, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert result.output.startswith(
        f'twintrack: {study_file}, line 2: bench.supply = "12 mm": wrong dimension'
    )
    assert not (tmp_path / "out").exists()


def test_version_and_help():
    assert command("--version").output == f"twintrack {tt.__version__}\n"
    text = command("--help").output
    assert "twintrack run study.toml --out results" in text
    assert CAUTION in " ".join(text.split())
    for name in ("run", "check", "show", "list"):
        assert command(name, "--help").exit_code == 0


@pytest.mark.parametrize("what", ["disturbances", "signals", "designs"])
def test_other_lists(what):
    result = command("list", what)
    assert result.exit_code == 0
    known = {"disturbances": "pressed_short", "signals": "blade.opening", "designs": "idle maps"}
    assert known[what] in result.output


@pytest.mark.alone
def test_ctrl_c(tmp_path):
    """A real interrupt in a real process: status 130, and what was finished is kept."""
    path = tmp_path / "study.toml"
    path.write_text('pedals = ["all"]')
    out = tmp_path / "out"
    words = ("run", path, "--out", out, "--jobs", 1, "--solver", "exact")
    with spawn(*words, stderr=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        deadline = time.monotonic() + 60.0
        while not list(out.glob("cases/*/*.parquet")) and time.monotonic() < deadline:
            time.sleep(0.01)
        process.send_signal(signal.SIGINT)
        _, errors = process.communicate(timeout=60)
    assert process.returncode == 130, errors
    assert "stopped by Ctrl-C" in errors
    assert 0 < len(tt.Result(out)) < 840
    assert not list(out.rglob(".unfinished-*"))


def loaded(code):
    """Names of the packages, the interpreter's own aside, that `code` loads in a new process."""
    code = f"import sys; before = set(sys.modules)\n{code}\nprint(*set(sys.modules) - before)"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    names = {word.split(".")[0] for word in done.stdout.splitlines()[-1].split()}
    return names - set(sys.stdlib_module_names)


def test_import_loads_nothing_slow():
    """A quick start: the libraries of tables, pictures and fits wait until somebody needs them."""
    assert loaded("import twintrack") == {"numpy", "twintrack"}


def test_help_loads_nothing_slow():
    help_ = "from twintrack.command.cli import main; main(['--help'], standalone_mode=False)"
    slow = {"pandas", "pyarrow", "scipy", "matplotlib", "dask", "distributed", "asammdf", "bokeh"}
    assert not loaded(help_) & slow
