# SPDX-License-Identifier: BSD-3-Clause
"""Running a study: order, files, threads, interruption, places that cannot be written."""

import json
import signal
import threading
import time

import asammdf
import numpy as np
import pandas as pd
import pyarrow.parquet as pq
import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.files import output as files
from twintrack.files import traces
from twintrack.pairing import run as runner
from twintrack.studies import reader


def test_rows_are_the_cases_in_order(finished):
    done, _ = finished
    pairings = done.study.pairings()
    table = done.table
    assert len(table) == len(pairings) == 16
    assert list(table["pedal"]) == [p.pedal for p in pairings]
    assert list(table["learned_body"]) == [p.learned_body or "" for p in pairings]
    assert (table["status"] == "completed").all()
    assert table["learn_accepted"].isna().equals(table["learn"] == "none")


def test_rows_are_what_the_core_says(finished):
    done, _ = finished
    for number in (0, 5, 15):
        result = tt.run_case(done.study.case(done.study.pairings()[number], number))
        row = done.table.loc[number]
        assert row["answer"] == result.answer
        assert row["sentence"] == result.sentence
        assert row["unasked_opening"] == result.unasked_opening
        assert row["codes"].split() == [code.text for code in result.codes]


def test_before_and_after_the_learn(finished):
    """No answer before the range learn, the right one after: common practice, no source."""
    table = finished[0].table
    assert set(table.loc[table["learn"] == "none", "answer"]) == {"none"}
    assert set(table.loc[table["learn"] == "fresh", "answer"]) == {"right"}


def test_files(finished):
    done, out = finished
    assert {path.name for path in out.iterdir()} == {
        "results.parquet",
        "results.csv",
        "report.html",
        "pairing.png",
        "traces",
    }
    stored = pd.read_parquet(out / "results.parquet")
    pd.testing.assert_frame_equal(stored, done.table)
    as_text = pd.read_csv(out / "results.csv", index_col="case", keep_default_na=False)
    assert list(as_text["answer"]) == list(done.table["answer"])
    assert {out / name for name in done.table["trace"] if name} == set((out / "traces").iterdir())


def test_traces_hold_the_signals(finished):
    done, _ = finished
    assert done.traces
    for number, path in done.traces.items():
        trace = traces.read_parquet(path)
        case = done.study.case(done.study.pairings()[number], number)
        record = tt.run_case(case, trace=True).record
        np.testing.assert_array_equal(trace.index, record.time)
        for name in record.names:
            np.testing.assert_array_equal(trace[name], record[name])
        assert trace.attrs["units"]["motor.current"] == "A"
        assert pq.read_schema(path).field("time").metadata == {b"unit": b"s"}
        codes = json.loads(trace.attrs["about"]["codes"])
        assert [code["text"] for code in codes] == done.table.loc[number, "codes"].split()


def test_same_bits_on_any_number_of_threads(finished, study_file, tmp_path):
    again = runner.run(reader.load(study_file), tmp_path / "one", jobs=1, progress=False, report=False)
    pd.testing.assert_frame_equal(again.table, finished[0].table, check_exact=True)
    assert (tmp_path / "one/results.csv").read_bytes() == (finished[1] / "results.csv").read_bytes()


def test_all_traces_and_a_second_run_in_the_same_place(study_file, tmp_path):
    out = tmp_path / "out"
    done = runner.run(reader.load(study_file), out, traces="all", progress=False, report=False)
    assert len(list((out / "traces").iterdir())) == len(done.table)
    keep = out / "traces" / "notes.txt"
    keep.write_text("mine")
    done = runner.run(reader.load(study_file), out, traces="none", progress=False)
    assert list((out / "traces").iterdir()) == [keep]
    assert not done.traces
    assert "No traces were asked for" in (out / "report.html").read_text()


def test_mdf4_traces(study_file, tmp_path):
    out = tmp_path / "out"
    runner.run(reader.load(study_file), out, mdf4=True, progress=False, report=False)
    path = sorted((out / "traces").glob("*.mf4"))[0]
    trace = traces.read_parquet(path.with_suffix(".parquet"))
    with asammdf.MDF(path) as file:
        signal = file.get("blade.opening")
        assert file.get("motor.current").unit == "A"
    np.testing.assert_array_equal(signal.samples, trace["blade.opening"])
    np.testing.assert_array_equal(signal.timestamps, trace.index)


def test_mdf4_without_its_package(study_file, tmp_path, monkeypatch):
    monkeypatch.setattr(runner.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(InputError, match=r"asammdf, which is not installed: pip install 'twintrack\[mdf\]'"):
        runner.run(reader.load(study_file), tmp_path / "out", mdf4=True, progress=False)
    assert not (tmp_path / "out").exists()


def test_ctrl_c_keeps_what_is_finished(study_file, tmp_path, monkeypatch):
    """Ctrl-C at the sixth case; one thread makes the moment certain."""
    loaded, lock, count = reader.load(study_file), threading.Lock(), 0
    genuine = tt.run_case

    def run_case(case, **keywords):
        nonlocal count
        with lock:
            count += 1
            if count == 6:
                signal.raise_signal(signal.SIGINT)
                time.sleep(0.5)
        return genuine(case, **keywords)

    monkeypatch.setattr(runner._core, "run_case", run_case)
    done = runner.run(loaded, tmp_path / "out", jobs=1, progress=False)
    assert done.interrupted
    stored = pd.read_parquet(tmp_path / "out/results.parquet")
    assert len(stored) == 16
    ran = stored[stored["status"] == "completed"]
    assert 5 <= len(ran) < 16
    assert set(stored["status"]) == {"completed", "not run"}
    assert set(stored.loc[stored["status"] == "not run", "answer"]) == {""}
    report = (tmp_path / "out/report.html").read_text()
    assert "Stopped before the end" in report


def test_trouble_leaves_nothing_behind(study_file, tmp_path, monkeypatch):
    def fail(*_args, **_keywords):
        raise RuntimeError("broken")

    monkeypatch.setattr(runner._core, "run_case", fail)
    with pytest.raises(RuntimeError, match="broken"):
        runner.run(reader.load(study_file), tmp_path / "out", progress=False)
    assert not (tmp_path / "out").exists()


def test_place_that_cannot_be_written(study_file, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="file/out: cannot write results here: Not a directory"):
        runner.run(reader.load(study_file), tmp_path / "file" / "out", progress=False)


def test_folder_without_permission(study_file, tmp_path, monkeypatch):
    def refuse(**_keywords):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(files.tempfile, "mkdtemp", refuse)
    with pytest.raises(InputError, match="out: cannot write results here: Permission denied"):
        runner.run(reader.load(study_file), tmp_path / "out", progress=False)
