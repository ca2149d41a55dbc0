# SPDX-License-Identifier: BSD-3-Clause
"""A campaign on a cluster of several processes, one of them killed (Dask distributed)."""

import os
import signal
import threading
import time

import distributed
import pytest
from campaign_support import same

import twintrack as tt
from twintrack.campaigns.drive import drive
from twintrack.campaigns.plan import load
from twintrack.campaigns.results import Results
from twintrack.errors import InputError


@pytest.fixture(scope="module")
def cluster():
    """Three processes with one thread each, on this machine, reached by TCP as others would be."""
    with distributed.LocalCluster(
        n_workers=3, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
    ) as cluster:
        yield cluster


def test_the_same_as_on_one_machine(cluster, campaign_path, whole_campaign, tmp_path):
    results = tt.campaign(
        campaign_path,
        cases=40,
        out=tmp_path,
        engine="exact",
        scheduler=cluster.scheduler_address,
        chunk=3,
        progress=False,
    )
    same(results, whole_campaign)


def test_a_worker_that_dies_costs_only_its_chunk(cluster, campaign_path, whole_campaign, tmp_path):
    """SIGKILL in the midst of the work: nothing is lost, nothing stands twice, and the others do not wait."""
    with distributed.Client(cluster.scheduler_address) as client:
        pids = client.run(os.getpid)
    assert len(set(pids.values())) == 3
    killed = []

    def kill():
        while len([*tmp_path.glob("cases/*/[0-9]*.parquet")]) < 2:
            time.sleep(0.005)
        killed.append((len(Results(tmp_path)), next(iter(pids.values()))))
        os.kill(killed[0][1], signal.SIGKILL)

    killer = threading.Thread(target=kill, daemon=True)
    killer.start()
    done = drive(
        load(campaign_path), tmp_path, 40, scheduler=cluster.scheduler_address, chunk=2, progress=False
    )
    killer.join(timeout=10)
    assert killed
    assert killed[0][0] < 40  # it was killed before the end
    assert (done.ran, done.interrupted, done.failures) == (40, False, [])
    same(Results(tmp_path), whole_campaign)


def test_nobody_answers(campaign_path, tmp_path, monkeypatch):
    monkeypatch.setattr("twintrack.campaigns.cluster.PATIENCE", "1s")
    with pytest.raises(InputError, match=r"tcp://127.0.0.1:1: no scheduler answers there"):
        drive(load(campaign_path), tmp_path, 4, scheduler="tcp://127.0.0.1:1", progress=False)
