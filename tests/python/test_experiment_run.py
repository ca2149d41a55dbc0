# SPDX-License-Identifier: BSD-3-Clause
"""Running an experiment: rows, extension, a changed study, and replays with the same bits."""

import json
import math
import shutil

import numpy as np
import pytest
from experiment_support import same

import twintrack as tt
from twintrack.errors import InputError
from twintrack.experiments import chunk, store
from twintrack.experiments import drive as driver
from twintrack.experiments.drive import drive
from twintrack.experiments.learns import Learns
from twintrack.experiments.plan import load
from twintrack.experiments.result import Result
from twintrack.experiments.store import MANIFEST, Store


def learned(plan, number):
    """The range learn of one case."""
    return Learns(plan).of([number], plan.draws(number, 1))[0]


def test_rows_are_what_the_core_says(whole_campaign):
    plan, table = whole_campaign.plan, whole_campaign.to_pandas()
    assert list(table.index) == list(range(40))
    assert list(table["pedal"][:4]) == ["half-slope-low", "opposed"] * 2
    for number in (0, 17, 39):
        case = plan.case(number)
        result = tt.run_case(case, learned=learned(plan, number))
        row = table.loc[number]
        assert row["response"] == result.response
        assert row["unasked_opening"] == result.unasked_opening
        assert row["codes"].split() == [code.text for code in result.codes]
        assert row["supply"] == case.parameters.supply
        if result.codes:
            delay = result.first_code_time - row["faults[1].from"]
            assert row["detected_after_s"] == pytest.approx(delay, abs=2e-6)  # the clock counts microseconds
    assert {"in time", "not needed"} <= set(table["grade"])
    assert table["seed"].unique().tolist() == [5]
    for rule in plan.study.rules:
        assert set(table[f"rule: {rule.name}"]) <= {"passed", "failed", "not applicable"}


def test_the_same_on_one_thread_in_other_pieces(whole_campaign, campaign_path, tmp_path, monkeypatch):
    monkeypatch.setattr(driver, "_MOST", 7)
    drive(load(campaign_path, "exact"), tmp_path, 40, jobs=1, progress=False)
    same(Result(tmp_path), whole_campaign)


@pytest.mark.parametrize("method", ["sobol", "latin", "random"])
def test_more_cases_run_only_the_new_ones(campaign_text, tmp_path, monkeypatch, method):
    path = tmp_path / "study.toml"
    path.write_text(campaign_text + f'[sampling]\nmethod = "{method}"\nblock = 8\n')
    plan, ran = load(path, "exact"), []
    original = chunk.Runner.rows
    monkeypatch.setattr(
        chunk.Runner,
        "rows",
        lambda self, numbers, draws: ran.extend(numbers) or original(self, numbers, draws),
    )
    drive(plan, tmp_path / "grown", 11, jobs=1, progress=False)
    drive(plan, tmp_path / "grown", 11, jobs=1, progress=False)
    assert sorted(ran) == list(range(11))
    drive(plan, tmp_path / "grown", 20, jobs=1, progress=False)
    assert sorted(ran) == list(range(20))
    drive(plan, tmp_path / "at once", 20, jobs=1, progress=False)
    same(Result(tmp_path / "grown"), Result(tmp_path / "at once"))


def test_results_are_read_lazily(whole_campaign):
    assert len(whole_campaign) == 40
    assert "40 cases of 'drift'" in repr(whole_campaign)
    few = whole_campaign.to_pandas(["grade"])
    assert list(few.columns) == ["grade"]
    import pyarrow.dataset as ds

    seen = whole_campaign.to_pandas(["grade"], where=ds.field("grade") == "in time")
    assert 0 < len(seen) < 40
    assert sum(batch.num_rows for batch in whole_campaign.batches(["case"])) == 40
    with pytest.raises(InputError, match="no column 'nothing'"):
        whole_campaign.to_pandas(["nothing"])
    with pytest.raises(InputError, match="there is no case 40; 40 are finished"):
        whole_campaign.row(40)


def test_cases_share_a_learn_that_sees_no_scatter(tmp_path, campaign_text, monkeypatch):
    """When nothing that scatters is seen by the learn, each pair learns once, as in a study."""
    text = campaign_text.split("[tolerances]")[0] + "[tolerances]\n"
    (tmp_path / "study.toml").write_text(
        text + 'supply = { uniform = ["12 V", "14 V"], after_learn = true }\n'
        '"faults[1].from" = { uniform = ["1 s", "3 s"] }\n'
    )
    learned, run = [], tt._core.run_learn
    monkeypatch.setattr(tt._core, "run_learn", lambda c, unit=None: learned.append(c) or run(c, unit=unit))
    plan = load(tmp_path / "study.toml", "exact")
    drive(plan, tmp_path / "out", 12, jobs=2, progress=False)
    assert sorted(case.parameters.pedal.name for case in learned) == ["half-slope-low", "opposed"]
    assert {case.parameters.supply for case in learned} == {
        plan.study.parameters("opposed", "opposed-six", 0).supply
    }
    assert Result(tmp_path / "out").replay(11).differences == []


@pytest.mark.parametrize("number", [0, 13, 39])
def test_a_replay_has_the_same_bits(whole_campaign, number):
    """Of the values drawn, and of everything that is stored; the record is the one of the case itself."""
    replay = whole_campaign.replay(number)
    assert replay.differences == []
    assert replay.draw == whole_campaign.plan.draws(number, 1)[0]
    plan = whole_campaign.plan
    again = tt.run_case(plan.case(number), learned=learned(plan, number), trace=True)
    assert np.array_equal(replay.result.record.matrix(), again.record.matrix(), equal_nan=True)


def test_a_replay_that_differs_says_so(whole_campaign, monkeypatch):
    row = whole_campaign.row(3)
    monkeypatch.setattr(Result, "row", lambda self, case: {**row, "unasked_opening": 0.5})
    assert whole_campaign.replay(3).differences == ["unasked_opening"]


def test_a_changed_study_is_refused(whole_campaign, campaign_text, tmp_path):
    path = tmp_path / "study.toml"
    path.write_text(campaign_text.replace("0.15]", "0.16]").replace("seed = 5", "seed = 6"))
    before = sorted(whole_campaign.folder.rglob("*"))
    with pytest.raises(
        InputError, match=r"before it was changed \(.*seed.*tolerances\[3\].*choose another folder"
    ):
        drive(load(path, "exact"), whole_campaign.folder, 50, progress=False)
    path.write_text("# " + campaign_text.replace('title = "drift"', "a remark"))
    assert drive(load(path, "exact"), whole_campaign.folder, 40, progress=False).ran == 0
    assert sorted(whole_campaign.folder.rglob("*")) == before


def test_another_version_is_refused(whole_campaign, tmp_path, campaign_path):
    shutil.copytree(whole_campaign.folder, tmp_path / "copy")
    manifest = tmp_path / "copy" / MANIFEST
    content = json.loads(manifest.read_text()) | {"twintrack": "0.0.1"}
    del content["checksum"]
    whole = {"checksum": store._digest(store._plain(content))} | content
    manifest.write_text(json.dumps(whole))
    with pytest.raises(InputError, match=r"made with twintrack 0\.0\.1"):
        drive(load(campaign_path, "exact"), tmp_path / "copy", 50, progress=False)


def test_a_folder_has_one_writer(campaign_path, tmp_path):
    plan = load(campaign_path)
    with (
        Store.open(tmp_path, plan),
        pytest.raises(InputError, match="another process is running an experiment here"),
    ):
        drive(plan, tmp_path, 4, progress=False)
    assert drive(plan, tmp_path, 4, progress=False).ran == 4


def test_what_holds_no_results(tmp_path, campaign_path):
    with pytest.raises(InputError, match="no results here"):
        Result(tmp_path)
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="cannot write results here"):
        drive(load(campaign_path), tmp_path / "file", 4, progress=False)


def test_overlapping_files_are_refused(whole_campaign, tmp_path):
    shutil.copytree(whole_campaign.folder, tmp_path / "copy")
    first = min((tmp_path / "copy" / "cases").rglob("*.parquet"))
    begin, end, digest = first.stem.split("-")
    other = f"{int(begin) + 1:09d}-{int(end) + 1:09d}-{digest}.parquet"
    shutil.copy(first, first.with_name(other))
    with pytest.raises(InputError, match="the folder is damaged"):
        list(Store(tmp_path / "copy").missing(40))


def _cut(path):
    path.write_bytes(path.read_bytes()[:-40])


def _overwrite(path):
    import pyarrow.parquet as pq

    table = pq.read_table(path)
    place = table.schema.get_field_index("response")
    pq.write_table(table.set_column(place, "response", [["right"] * table.num_rows]), path)


def _shorten(path):
    import pyarrow.parquet as pq

    pq.write_table(pq.read_table(path)[:2], path)


@pytest.mark.parametrize("damage", [_cut, _overwrite, _shorten])
def test_a_damaged_file_of_cases_is_refused(whole_campaign, campaign_path, tmp_path, damage):
    """It is named, by reading and by running; taken away, its cases are run again."""
    shutil.copytree(whole_campaign.folder, tmp_path / "copy")
    path = min((tmp_path / "copy" / "cases").rglob("*.parquet"))
    damage(path)
    with pytest.raises(InputError, match=rf"{path.name}: is damaged"):
        Result(tmp_path / "copy").to_pandas()
    with pytest.raises(InputError, match=rf"{path.name}: is damaged"):
        drive(load(campaign_path, "exact"), tmp_path / "copy", 40, progress=False)
    path.unlink()
    drive(load(campaign_path, "exact"), tmp_path / "copy", 40, progress=False)
    same(Result(tmp_path / "copy"), whole_campaign)


@pytest.mark.parametrize("text", ['{"seed": 3}', "[" * 5000, "", "{", "[]"])
def test_a_damaged_manifest_is_refused(whole_campaign, campaign_path, tmp_path, text):
    shutil.copytree(whole_campaign.folder, tmp_path / "copy")
    manifest = tmp_path / "copy" / MANIFEST
    whole = manifest.read_text()
    manifest.write_text(text if "seed" not in text else whole.replace('"seed": 5', '"seed": 6'))
    for use in (Result, lambda folder: drive(load(campaign_path, "exact"), folder, 40, progress=False)):
        with pytest.raises(InputError, match=r"experiment\.json: (was changed or )?is damaged"):
            use(tmp_path / "copy")
    manifest.unlink()
    with pytest.raises(InputError, match=r"experiment\.json is missing"):
        drive(load(campaign_path, "exact"), tmp_path / "copy", 40, progress=False)


def test_fewer_cases_than_there_are_and_too_many_are_refused(whole_campaign, campaign_path):
    plan = load(campaign_path, "exact")
    with pytest.raises(InputError, match="40 cases are finished here, more than the 30 asked for"):
        drive(plan, whole_campaign.folder, 30, progress=False)
    with pytest.raises(InputError, match="too many; at most 100,000,000"):
        drive(plan, whole_campaign.folder, 10**20, progress=False)


def test_a_full_disk_loses_nothing_finished(campaign_path, whole_campaign, tmp_path, monkeypatch):
    written, original = [], store.write

    def write(path, content):
        if len(written) == 3:
            raise OSError(28, "No space left on device")
        written.append(path)
        original(path, content)

    monkeypatch.setattr(store, "write", write)
    with pytest.raises(InputError, match="cannot write results here: No space left on device"):
        drive(load(campaign_path, "exact"), tmp_path, 40, jobs=1, progress=False)
    monkeypatch.undo()
    assert 0 < len(Result(tmp_path)) < 40
    drive(load(campaign_path, "exact"), tmp_path, 40, progress=False)
    same(Result(tmp_path), whole_campaign)


def test_values_that_do_not_go_together_are_told(campaign_text, tmp_path):
    """A fault may begin and end at any time of two ranges; together some end before they begin."""
    path = tmp_path / "study.toml"
    text = campaign_text.replace('from = "3 s"', 'from = "1 s"\nto = "3.9 s"')
    path.write_text(text.replace("[bench]", '"faults[1].to" = { uniform = ["2 s", "3.9 s"] }\n[bench]'))
    drive(load(path), tmp_path / "out", 24, progress=False)
    table = Result(tmp_path / "out").to_pandas()
    wrong = table["faults[1].to"] <= table["faults[1].from"]
    assert 0 < wrong.sum() < 24
    assert (table["status"] == wrong.map({True: "refused", False: "completed"})).all()
    assert (table.loc[wrong, "outcome"] != "").all()


def test_how_an_engine_idles_is_among_the_columns(tmp_path):
    """A small leak is governed away, a large one is not."""
    path = tmp_path / "study.toml"
    path.write_text("""title = "leaks"
scenario = "idle"
pedals = ["half-slope-low"]
bodies = ["opposed-six"]
learn = ["fresh"]
[bench]
engine = "small-four"
[[faults]]
where = "manifold"
what = "vacuum_leak"
amount = "1 mm^2"
[tolerances]
"faults[1].amount" = { values = ["1 mm^2", "20 mm^2"] }
""")
    plan = load(path)
    drive(plan, tmp_path / "out", 4, jobs=2, progress=False)
    table = Result(tmp_path / "out").to_pandas()
    assert set(table["solver"]) == {"lanes"}
    assert sorted(set(table["faults[1].amount"])) == pytest.approx([1e-6, 20e-6])
    for number, row in table.iterrows():
        idle = tt.run_case(plan.case(number), learned=learned(plan, number)).idle
        assert row["idle_finding"] == idle.finding
        assert row["idle_rpm"] == pytest.approx(idle.speed / (math.pi / 30.0), abs=3)
        assert row["idle_authority"] == pytest.approx(idle.authority, abs=0.02)
    leaking = table[table["faults[1].amount"] > 2e-6]
    assert (leaking["idle_finding"] == "noticed").all()
    assert (leaking["codes"] == "P0507-92").all()
    assert (leaking["idle_deviation_rpm"] > 200.0).all()
    assert (table.drop(leaking.index)["idle_finding"] == "right").all()


def test_without_an_engine_there_are_no_such_columns(whole_campaign):
    assert not any(name.startswith("idle_") for name in whole_campaign.to_pandas())
