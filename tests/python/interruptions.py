# SPDX-License-Identifier: BSD-3-Clause
"""Experiments that are killed, on this machine and on a cluster, and how much memory many cases take.

    python tests/python/interruptions.py kills [KILLS]    SIGKILL at random instants of three designs
    python tests/python/interruptions.py cluster          a Dask worker killed during two designs
    python tests/python/interruptions.py memory [CASES]   peak memory of a tenth of the cases and of all

Each ends with status 1 unless the tables equal those of an undisturbed run to the bit, or the memory is flat.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from threading import Thread

import pandas as pd

from twintrack.experiments.result import Result

PAIR = 'pedals = ["half-slope-high", "half-slope-low"]\nbodies = ["half-slope-six"]\n'
STROKE = 'stroke = { time = ["0 s", "0.6 s", "0.8 s", "2 s", "2.2 s", "3 s"], travel = [0, 0, 1, 1, 0, 0] }\n'
SCATTER = '[tolerances]\nsupply = { uniform = ["12 V", "14 V"] }\n'
DESIGNS = {
    "audit": f'design = "audit"\n{PAIR}{STROKE}[audit]\nsetups = ["default", "none"]\ninstants = ["full"]\n',
    "learning": f'design = "learning"\n{PAIR}',
    "pairing with tolerances": f"{PAIR}{STROKE}{SCATTER}",
}
CASES = {"pairing with tolerances": ["--cases", "600"]}
#: As cheap as a case can be: half a second, no learn, ideal wiring.
CHEAP = (
    f'{PAIR}learn = ["none"]\nstroke = {{ time = ["0 s", "0.2 s"], travel = [0.0, 0.5] }}\n{SCATTER}'
    '[bench.wiring]\nkind = "ideal"\n'
)


def command(study: Path, out: Path, *more: str) -> list[str]:
    return [sys.executable, "-m", "twintrack", "run", str(study), "--out", str(out), "--quiet", *more]


def table(folder: Path) -> pd.DataFrame:
    return Result(folder).to_pandas()


def undisturbed(name: str, folder: Path) -> tuple[Path, float]:
    """The study file, and how long it takes [s]; its results are in folder/whole."""
    study = folder / "study.toml"
    study.write_text(DESIGNS[name])
    began = time.monotonic()
    subprocess.run(
        command(study, folder / "whole", *CASES.get(name, [])), check=True, stdout=subprocess.DEVNULL
    )
    return study, time.monotonic() - began


def kills(count: int) -> bool:
    chance, good = random.Random(1), True
    for name in DESIGNS:
        with tempfile.TemporaryDirectory() as text:
            folder = Path(text)
            study, seconds = undisturbed(name, folder)
            whole, done, ends, kept = table(folder / "whole"), 0, 0, []
            while done < count or not ends:
                out = folder / "out"
                process = subprocess.Popen(
                    command(study, out, *CASES.get(name, [])), stdout=subprocess.DEVNULL
                )
                try:
                    process.wait(chance.uniform(0.0, 1.2 * seconds) if done < count else 3600.0)
                except subprocess.TimeoutExpired:
                    process.kill()
                    process.wait()
                    done += 1
                    kept.append(len(Result(out)) if (out / "experiment.json").exists() else 0)
                    continue
                if process.returncode:
                    sys.exit(f"{name}: status {process.returncode}")
                pd.testing.assert_frame_equal(table(out), whole, check_exact=True)
                assert not [*out.rglob(".unfinished-*")]
                ends += 1
                shutil.rmtree(out)
            shown = " ".join(map(str, kept))
            print(
                f"{name}: {len(whole)} cases, killed {done} times with {shown} finished, then the same",
                flush=True,
            )
            good = good and ends > 0
    return good


def cluster() -> bool:
    import distributed

    from twintrack.experiments import drive as driver
    from twintrack.experiments.plan import load

    driver._MOST = 40  # small pieces, so that the kill comes in the midst of the work
    good = True
    for name in ("audit", "pairing with tolerances"):
        with tempfile.TemporaryDirectory() as text:
            folder = Path(text)
            study, _ = undisturbed(name, folder)
            whole, out, before = table(folder / "whole"), folder / "out", []
            with distributed.LocalCluster(
                n_workers=3, threads_per_worker=1, dashboard_address=None, silence_logs=50
            ) as workers:
                with distributed.Client(workers.scheduler_address) as client:
                    pids = list(client.run(os.getpid).values())

                def kill(out: Path = out, pid: int = pids[0], before: list[int] = before) -> None:
                    while len([*out.glob("cases/*/[0-9]*.parquet")]) < 2:
                        time.sleep(0.005)
                    os.kill(pid, signal.SIGKILL)
                    before.append(len(Result(out)))

                killer = Thread(target=kill, daemon=True)
                killer.start()
                done = driver.drive(
                    load(study), out, len(whole), scheduler=workers.scheduler_address, progress=False
                )
                killer.join(10)
            pd.testing.assert_frame_equal(table(out), whole, check_exact=True)
            print(f"{name}: a worker killed with {before[0]} of {len(whole)} cases finished, then the same")
            good = good and done.ran == len(whole) and before[0] < len(whole)
    return good


def memory(cases: int) -> bool:
    peaks = []
    for count in (cases // 10, cases):
        with tempfile.TemporaryDirectory() as text:
            study = Path(text) / "study.toml"
            study.write_text(CHEAP)
            began = time.monotonic()
            process = subprocess.Popen(
                command(study, Path(text) / "out", "--cases", str(count)), stdout=subprocess.DEVNULL
            )
            _, status, usage = os.wait4(process.pid, 0)
            if status:
                sys.exit(f"status {status}")
            peaks.append(usage.ru_maxrss / 1024)
            print(f"{count:>9,} cases: {peaks[-1]:.0f} MB, {time.monotonic() - began:.0f} s", flush=True)
    return peaks[1] < 1.1 * peaks[0] and peaks[1] <= 500.0


def main(what: str, number: int | None) -> int:
    if what == "kills":
        return int(not kills(number or 20))
    if what == "memory":
        return int(not memory(number or 200_000))
    return int(not cluster())


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else None))
