# SPDX-License-Identifier: BSD-3-Clause
"""What stops a run: Ctrl-C, a failing solver, a kill at any instant; and how much it holds in memory."""

import os
import random
import signal
import subprocess
import sys
import threading
import time

import pytest
from experiment_support import same

from twintrack.experiments import chunk
from twintrack.experiments import drive as driver
from twintrack.experiments.drive import drive
from twintrack.experiments.plan import load
from twintrack.experiments.result import Result
from twintrack.experiments.store import MANIFEST, Store


def test_ctrl_c_keeps_what_is_finished(campaign_path, whole_campaign, tmp_path, monkeypatch):
    """The signal comes in the midst of a piece: its finished blocks are kept, too."""
    original, seen = chunk.Runner.rows, []

    def rows(self, numbers, draws):
        found = original(self, numbers, draws)
        seen.extend(numbers)
        if len(seen) == 12:
            os.kill(os.getpid(), signal.SIGINT)
            time.sleep(0.3)
        return found

    monkeypatch.setattr(chunk.Runner, "rows", rows)
    done = drive(load(campaign_path, "exact"), tmp_path, 40, jobs=1, progress=False)
    assert done.interrupted
    assert 12 <= done.ran <= 16
    assert len(Result(tmp_path)) == done.ran
    monkeypatch.undo()
    assert drive(load(campaign_path, "exact"), tmp_path, 40, jobs=2, progress=False).ran == 40 - done.ran
    same(Result(tmp_path), whole_campaign)


def test_a_failing_solver_ends_the_run_and_keeps_the_rest(campaign_path, tmp_path, monkeypatch):
    original = chunk.Runner.rows

    def rows(self, numbers, draws):
        if numbers[0] >= 8:
            raise RuntimeError("out of order")
        return original(self, numbers, draws)

    monkeypatch.setattr(chunk.Runner, "rows", rows)
    monkeypatch.setattr(driver, "_MOST", 8)
    with pytest.raises(RuntimeError, match=r"3 pieces of work failed; finished cases are kept.*out of order"):
        drive(load(campaign_path, "exact"), tmp_path, 80, jobs=1, progress=False)
    assert len(Result(tmp_path)) in (4, 8)


KILLS = 4


def test_killed_at_any_instant_nothing_is_lost_and_nothing_twice(campaign_path, whole_campaign, tmp_path):
    """A real process, killed by SIGKILL at four random instants and started again."""
    command = [sys.executable, "-m", "twintrack", "run", str(campaign_path), "--cases", "40"]
    command += ["--solver", "exact", "--jobs", "2", "--quiet", "--out", str(tmp_path)]
    chance, kills, kept = random.Random(8), 0, 0
    for _ in range(60):
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        began = time.monotonic()
        while kills < KILLS and not _has_more(tmp_path, kept) and time.monotonic() - began < 60:
            time.sleep(0.02)  # seldom enough to leave the processor to it
        if kills < KILLS:
            time.sleep(chance.uniform(0.0, 0.25))
            process.kill()
            process.wait()
            kills += 1
            now = len(Result(tmp_path))
            assert now >= kept  # nothing lost
            kept = now
        elif process.wait() == 0:
            break
    assert kills == KILLS
    store = Store(tmp_path)
    assert store.missing(40) == []  # refuses cases that stand in two files
    assert store.finished() == 40
    same(Result(tmp_path), whole_campaign)
    assert not [*tmp_path.rglob(".unfinished-*")]


def _has_more(folder, kept):
    """Whether the process has begun to write cases that were not there."""
    return (folder / MANIFEST).exists() and Store(folder).finished() > kept


def test_half_a_file_is_no_file(campaign_path, whole_campaign, tmp_path):
    """What a kill within a write leaves: an unfinished file, which counts for nothing and goes."""
    folder = tmp_path / "cases" / "block=0000"
    folder.mkdir(parents=True)
    (folder / ".unfinished-000000000-000000007.parquet").write_bytes(b"PAR1 half")
    (tmp_path / f".unfinished-{MANIFEST}").write_text("{")
    assert drive(load(campaign_path, "exact"), tmp_path, 40, progress=False).ran == 40
    same(Result(tmp_path), whole_campaign)
    assert not [*tmp_path.rglob(".unfinished-*")]


def test_only_a_few_pieces_are_held(campaign_path, tmp_path, monkeypatch):
    """Memory does not grow with the number of cases: pieces of work are handed out as others come back."""
    waiting, most = set(), []
    lock = threading.Lock()
    monkeypatch.setattr(chunk, "run_chunk", _fake)
    monkeypatch.setattr(driver, "_MOST", 5)
    original = driver._Threads.submit

    def submit(self, first, last):
        future = original(self, first, last)
        with lock:
            waiting.add(future)
            most.append(sum(not f.done() for f in waiting))
        return future

    monkeypatch.setattr(driver._Threads, "submit", submit)
    plan = load(campaign_path)
    assert drive(plan, tmp_path, 2000, jobs=2, progress=False).ran == 2000
    assert len(most) > 100
    assert max(most) <= 4


def _fake(runner, first, last, stop, done):
    """Rows without a simulation."""
    import pyarrow as pa

    schema = chunk.schema(runner.plan)
    columns = [pa.array(range(first, last), pa.int64())]
    columns += [pa.nulls(last - first, field.type) for field in schema][1:]
    done(last - first)
    return pa.Table.from_arrays(columns, schema=schema)
