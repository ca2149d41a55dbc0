# SPDX-License-Identifier: BSD-3-Clause
"""An experiment on a cluster of several processes, one of them killed (Dask distributed)."""

import os
import signal
import threading
import time

import distributed
import pytest
from experiment_support import same
from test_c_controller import SOURCE, compiled

import twintrack as tt
from twintrack.errors import InputError
from twintrack.experiments.drive import drive
from twintrack.experiments.plan import load
from twintrack.experiments.result import Result


@pytest.fixture(scope="module")
def cluster():
    """Three processes with one thread each, on this machine, reached by TCP as others would be."""
    with distributed.LocalCluster(
        n_workers=3, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
    ) as cluster:
        yield cluster


def test_the_same_as_on_one_machine(cluster, campaign_path, whole_campaign, tmp_path):
    study = tt.Study.load(campaign_path, solver="exact")
    results = study.run(tmp_path, cases=40, scheduler=cluster.scheduler_address, progress=False)
    same(results, whole_campaign)


def test_with_a_controller_in_c(cluster, campaign_path, whole_campaign, tmp_path):
    own = compiled(SOURCE, tmp_path)
    study = tt.Study.load(campaign_path)
    there = study.run(
        tmp_path / "there", cases=8, unit=own, scheduler=cluster.scheduler_address, progress=False
    )
    here = study.run(tmp_path / "here", cases=8, unit=own, progress=False)
    same(there, here)
    assert len(here) == 8
    ours, theirs = (r.to_pandas()["final_opening"].iloc[:8].to_numpy() for r in (here, whole_campaign))
    assert (ours != theirs).any(), "it is not the built-in controller"


def test_a_worker_that_dies_costs_only_its_piece(
    cluster, campaign_path, whole_campaign, tmp_path, monkeypatch
):
    """SIGKILL in the midst of the work: nothing is lost, nothing stands twice, and the others do not wait."""
    with distributed.Client(cluster.scheduler_address) as client:
        pids = client.run(os.getpid)
    assert len(set(pids.values())) == 3
    killed = []

    def kill():
        while len([*tmp_path.glob("cases/*/[0-9]*.parquet")]) < 2:
            time.sleep(0.005)
        killed.append((len(Result(tmp_path)), next(iter(pids.values()))))
        os.kill(killed[0][1], signal.SIGKILL)

    killer = threading.Thread(target=kill, daemon=True)
    killer.start()
    monkeypatch.setattr("twintrack.experiments.drive._MOST", 2)
    plan = load(campaign_path, "exact")
    done = drive(plan, tmp_path, 40, scheduler=cluster.scheduler_address, progress=False)
    killer.join(timeout=10)
    assert killed
    assert killed[0][0] < 40  # it was killed before the end
    assert (done.ran, done.interrupted, done.failures) == (40, False, [])
    same(Result(tmp_path), whole_campaign)


def test_nobody_answers(campaign_path, tmp_path, monkeypatch):
    monkeypatch.setattr("twintrack.experiments.cluster.PATIENCE", "1s")
    with pytest.raises(InputError, match=r"tcp://127.0.0.1:1: no scheduler answers there"):
        drive(load(campaign_path), tmp_path, 4, scheduler="tcp://127.0.0.1:1", progress=False)


def test_an_audit_on_a_cluster(cluster, tmp_path):
    """Another design: the workers make the same cases and the same rows."""
    path = tmp_path / "study.toml"
    path.write_text(
        """design = "audit"
pedals = ["half-slope-high"]
bodies = ["set-a"]
rule_sets = ["fault-tolerant time"]
stroke = { time = ["0 s", "0.6 s", "0.8 s", "2 s", "2.2 s", "3 s"], travel = [0, 0, 1, 1, 0, 0] }
[bench.wiring]
kind = "ideal"
[audit]
instants = ["full"]
"""
    )
    study = tt.Study.load(path)
    there = study.run(tmp_path / "there", cases=20, scheduler=cluster.scheduler_address, progress=False)
    same(there, study.run(tmp_path / "here", cases=20, progress=False))
