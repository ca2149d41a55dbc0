# SPDX-License-Identifier: BSD-3-Clause
"""A small audit as a whole: what the monitors make of three faults, tables, page, command."""

import types

import pandas as pd
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.command.cli import main
from twintrack.designs.audit import design as audit
from twintrack.designs.audit import sections
from twintrack.designs.audit import table as audit_table
from twintrack.errors import InputError
from twintrack.experiments import replay, report
from twintrack.experiments.plan import load
from twintrack.files import freeze_frame

FEW = ("throttle track 1: offset −100 %", "throttle track 1: frozen", "pedal track 1: offset +4 %")


#: One pair, a short drive, two instants, and a set-up that only looks at the deviation.
STUDY = """title = "<b>small</b>"
pedals = ["half-slope-high"]
bodies = ["set-a"]
stroke = { time = ["0 s", "0.6 s", "0.8 s", "2 s", "2.2 s", "4 s"], travel = [0, 0, 1, 1, 0, 0] }
rule_sets = ["return to idle", "fault-tolerant time"]
[audit]
setups = ["default", "mine"]
instants = ["full", "at rest"]
[audit.monitor.mine]
range.enabled = false
correlation.enabled = false
rate.check.enabled = false
motion.stalled.enabled = false
motion.blocked.enabled = false
motion.against.enabled = false
fallback = false
"""


def only_few(patch):
    """Three faults in place of some two hundred."""
    genuine = audit.single_faults
    patch.setattr(audit, "single_faults", lambda p, **more: [f for f in genuine(p, **more) if f.label in FEW])


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "study.toml"
    path.write_text(STUDY)
    return path


@pytest.fixture
def few(monkeypatch):
    only_few(monkeypatch)


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    """The audit, run once; what it gave is only read."""
    folder = tmp_path_factory.mktemp("audit")
    (folder / "study.toml").write_text(STUDY)
    with pytest.MonkeyPatch.context() as patch:
        only_few(patch)
        result = tt.Study.load(folder / "study.toml").run(folder / "out", jobs=2, progress=False)
        report.write(result)
        assert len(result.plan.specs) == len(result)
    return result


def faulty(result):
    return audit_table.faulty(result.table)


def page_of(result):
    return (result.folder / "report.html").read_text()


def test_what_the_monitors_make_of_three_faults(done):
    """Track 1 at 0 V: detected by the range check after more than 100 ms, 101 ticks.

    The blade of parameter set A is back in 0.19 s with the bridge open (0.191 s from 80°, computed by this
    project's authors from the published set). A loop that believes the dead track opens the blade for good.
    """
    cases = faulty(done).set_index(["setup", "fault", "instant"]).sort_index()
    low = cases.loc[("default", FEW[0], "full")]
    assert (low["grade"], low["hazardous"]) == ("in time", True)
    assert low["detected_by"] == "throttle/pedal position sensor A circuit low"
    assert low["fdti_s"] == pytest.approx(0.101, abs=1e-6)
    assert low["return_s"] == pytest.approx(0.191, abs=0.01)
    assert cases.loc[("none", FEW[0], "full"), "grade"] == "hazard"
    assert cases.loc[("none", FEW[0], "full"), "response"] == "uncommanded"
    assert cases.loc[("none", FEW[0], "full"), "unasked_opening"] > 0.9
    assert cases.loc[("none", FEW[0], "full"), "rules_failed"] != ""
    assert cases.loc[("mine", FEW[0], "full"), "grade"] == "late"  # deviation alone: after a second
    assert not cases.loc[("none", FEW[2], "at rest"), "hazard"]  # the lower track is taken


def test_the_exact_solver_says_the_same(few, path, done, tmp_path):
    exact = tt.Study.load(path, solver="exact").run(tmp_path / "exact", progress=False)
    words = ["response", "hazard", "detection", "reaction", "grade", "codes", "rules_failed", "hazardous"]
    pd.testing.assert_frame_equal(exact.table[words], done.table[words])


def test_order_and_tables(done):
    table = faulty(done)
    assert list(done.plan.design.setups) == ["default", "mine", "none"]
    assert len(table) == 3 * 2 * 3
    assert (done.table["status"] == "completed").all()
    covered = audit_table.coverage(done.table, ["default", "mine", "none"])
    unwatched = covered[covered["setup"] == "none"].iloc[0]
    assert unwatched["coverage"] == 0.0
    assert unwatched["missed"] == unwatched["hazardous"] > 0
    healthy = done.table[done.table["fault"] == ""]
    assert len(healthy) == 3
    assert (healthy["codes"] == "").all()
    assert set(healthy["grade"]) == {"not needed"}


def test_page_stands_alone(done):
    page = page_of(done)
    assert "<b>small</b>" not in page
    assert "&lt;b&gt;small" in page
    assert "url(http" not in page
    assert " src=" not in page
    for kind in set(faulty(done)["kind"]):
        assert kind in page
        assert page.count(f"<tr><th>{kind}</th>") == 1  # one map, the set-ups side by side
    assert page.count('class="chart"') == faulty(done)["kind"].nunique()
    assert "A simulation is no proof of safety" in page


def test_same_on_any_number_of_threads(few, done, path, tmp_path):
    again = tt.Study.load(path).run(tmp_path / "one", jobs=1, progress=False)
    pd.testing.assert_frame_equal(again.table, done.table, check_exact=True)


def test_command(few, path, tmp_path):
    words = ["run", str(path), "--out", str(tmp_path / "out"), "--quiet"]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output
    assert "coverage" in result.output
    assert "The set-up 'default' detects 100 % of the hazardous cases in time" in result.output
    assert str(tmp_path / "out/report.html") in result.output


def test_check(few, path):
    result = CliRunner().invoke(main, ["check", str(path)])
    assert result.exit_code == 0, result.output
    assert "audit, 1 pedals, 1 throttle bodies, 21 cases" in result.output
    assert "3 set-ups: default, mine, none" in result.output
    path.write_text(path.read_text().replace('"at rest"', '"noon"'))
    assert "there is no instant 'noon'" in CliRunner().invoke(main, ["check", str(path)]).output


def test_the_page_tells_every_case(done):
    """Each fault under each set-up at each instant, and where a hazardous case was missed."""
    every = sections._every(done.table)
    assert len(every.rows) == 18
    row = next(r for r in every.rows if r[1:4] == ("default", FEW[0], "full"))
    assert (row[0].word, row[7]) == ("in time", 101)
    hazards = sections._hazards(done.table)
    assert {row[1] for row in hazards.rows} == {"mine"}
    assert {row[2] for row in hazards.rows} <= {FEW[0], FEW[1]}


def test_an_instant_that_never_comes_is_left_out_and_told(few, path, tmp_path):
    """The springs of parameter set A leave the blade at its closed stop: nothing to cross."""
    path.write_text(path.read_text().replace('["full", "at rest"]', '["full", "crossing"]'))
    result = tt.Study.load(path).run(tmp_path / "out", jobs=2, progress=False)
    assert set(faulty(result)["instant"]) == {"full"}
    assert (result.table["status"] == "completed").all()
    assert "never with half-slope-high + set-a" in report.write(result).read_text()


def test_freeze_frames_of_a_replay(done):
    """Track 1 at 0 V: it is left out at once, and the blade stays where the foot asks, by track 2."""
    cases = faulty(done)
    of = cases[(cases["fault"] == FEW[0]) & (cases["instant"] == "full")].reset_index().set_index("setup")
    frames = {}
    for name in ("default", "none"):
        run = done.replay(int(of.loc[name, "case"]))
        frames[name] = freeze_frame.frames(run.result, replay.tracks(run.case))
        assert all(freeze_frame.text(frame) in replay.describe(run) for frame in frames[name])
    assert frames["none"] == []
    frame = frames["default"][0]
    assert frame["code"] == of.loc["default", "codes"].split()[0]
    signals = frame["signals"]
    assert list(signals) == freeze_frame.titles(with_engine=False)
    assert float(signals["throttle tracks"].split(" / ")[0]) == pytest.approx(0.0, abs=0.11)  # and its noise
    assert frame["reaction"] == "none"  # the tick that confirms it, before the reaction to it
    assert signals["throttle tracks"].count("/") == 1  # two tracks
    by_the_other_track = float(signals["true opening"].removesuffix(" %"))
    assert by_the_other_track == pytest.approx(float(signals["set point"].removesuffix(" %")), abs=2)


def test_a_refused_learn_is_told(few, path, tmp_path, monkeypatch):
    refused = types.SimpleNamespace(result=types.SimpleNamespace(accepted=False, reason="pressed once"))
    monkeypatch.setattr(audit._core, "run_learns", lambda cases: [refused for _ in cases])
    with pytest.raises(InputError, match=r"set-a: the range learn is refused \(pressed once\)"):
        tt.Study.load(path).run(tmp_path / "out", progress=False)


def test_an_audit_with_an_engine_says_what_became_of_it(few, path, tmp_path):
    """Track 1 of the throttle dead: motor off and speed limited under the default; unwatched nobody does."""
    text = path.read_text()
    drive = text[text.index("stroke") : text.index("rule_sets")]
    slow = drive.replace('"0.6 s", "0.8 s", "2 s", "2.2 s", "4 s"', '"6 s", "6.2 s", "8 s", "8.2 s", "16 s"')
    text = text.replace(drive, slow + '[bench]\nengine = "small-four"\n')
    text = text.replace('rule_sets = ["return to idle", "fault-tolerant time"]\n', "")
    path.write_text(text.replace('instants = ["full", "at rest"]', 'instants = ["full"]'))
    result = tt.Study.load(path).run(tmp_path / "out", jobs=2, progress=False)
    cases = faulty(result).set_index(["setup", "fault"]).sort_index()
    default, none = cases.loc[("default", FEW[0])], cases.loc[("none", FEW[0])]
    assert (default["reaction"], default["rule: speed limit"]) == ("motor off", "passed")
    assert none["rule: speed limit"] == "not applicable"
    assert none["rule: return to idle, light"] == "failed"
    assert default["rule: return to idle, light"] == "passed"
    assert none["idle_finding"] == "dangerous"
    named = load(path).design
    assert {"idle band", "return to idle, light", "speed limit"} <= {rule.name for rule in named.rules}
