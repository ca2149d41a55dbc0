# SPDX-License-Identifier: BSD-3-Clause
"""Running a pairing study: order, rows, traces, threads, places that cannot be written."""

import asammdf
import numpy as np
import pandas as pd
import pytest

import twintrack as tt
from twintrack.errors import InputError
from twintrack.experiments import replay as replays
from twintrack.files import traces


def test_rows_are_the_cases_in_order(finished):
    pairings = finished.plan.study.pairings()
    table = finished.table
    assert len(table) == len(pairings) == 16
    assert list(table["pedal"]) == [p.pedal for p in pairings]
    assert list(table["learned_body"]) == [p.learned_body or "" for p in pairings]
    assert (table["status"] == "completed").all()
    assert table["learn_accepted"].isna().equals(table["learn"] == "none")


def test_rows_are_what_the_core_says(finished):
    for number in (0, 5, 15):
        result = tt.run_case(finished.plan.case(number), learned=finished.learned(number))
        row = finished.table.loc[number]
        assert row["response"] == result.response
        assert row["sentence"] == result.sentence
        assert row["unasked_opening"] == result.unasked_opening
        assert row["codes"].split() == [code.text for code in result.codes]


def test_before_and_after_the_learn(finished):
    """No response before the range learn, the right one after: common practice, no source."""
    table = finished.table
    assert set(table.loc[table["learn"] == "none", "response"]) == {"none"}
    assert set(table.loc[table["learn"] == "fresh", "response"]) == {"right"}


def test_learns_that_nothing_distinguishes_are_shared(finished):
    """A stale case was learned with a pair that others were learned with, too: four learns for 12 cases."""
    teachers = finished.plan.teachers
    assert len(teachers) == 12
    assert len(set(teachers.values())) == 4
    specs = finished.plan.specs
    for k, teacher in teachers.items():
        mine, its = specs[k].pairing, specs[teacher].pairing
        assert (mine.learned_pedal, mine.learned_body) == (its.learned_pedal, its.learned_body)


def test_lanes_give_the_same_verdicts(finished, study_file, tmp_path):
    lanes = tt.Study.load(study_file).run(tmp_path, progress=False)
    words = ["response", "hazard", "detection", "reaction", "grade", "codes", "learn_accepted"]
    pd.testing.assert_frame_equal(lanes.table[words], finished.table[words])
    assert set(lanes.table["solver"]) == {"lanes"}


def test_traces_hold_the_signals(finished, tmp_path):
    replay = finished.replay(5)
    path, picture = replays.write(replay, tmp_path)
    trace = traces.read_parquet(path)
    record = tt.run_case(finished.plan.case(5), learned=finished.learned(5), trace=True).record
    np.testing.assert_array_equal(trace.index, record.time)
    for name in record.names:
        np.testing.assert_array_equal(trace[name], record[name])
    assert trace.attrs["units"]["motor.current"] == "A"
    assert picture.stat().st_size > 10_000


def test_mdf4_traces(finished, tmp_path, monkeypatch):
    path, _, mdf = replays.write(finished.replay(5), tmp_path, mdf4=True)
    trace = traces.read_parquet(path)
    with asammdf.MDF(mdf) as file:
        signal = file.get("blade.opening")
        assert file.get("motor.current").unit == "A"
    np.testing.assert_array_equal(signal.samples, trace["blade.opening"])
    np.testing.assert_array_equal(signal.timestamps, trace.index)
    monkeypatch.setattr(replays.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(InputError, match=r"asammdf, which is not installed: pip install 'twintrack\[mdf\]'"):
        replays.write(finished.replay(5), tmp_path, mdf4=True)


def test_same_bits_on_any_number_of_threads(finished, study_file, tmp_path):
    again = tt.Study.load(study_file, solver="exact").run(tmp_path, jobs=1, progress=False)
    pd.testing.assert_frame_equal(again.table, finished.table, check_exact=True)


def test_place_that_cannot_be_written(study_file, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="file/out: cannot write results here: Not a directory"):
        tt.Study.load(study_file).run(tmp_path / "file" / "out", progress=False)
