# SPDX-License-Identifier: BSD-3-Clause
"""A small audit as a whole: what the monitors make of three faults, tables, page, command, Ctrl-C."""

import itertools
import re
import signal
import types

import pandas as pd
import pytest
from click.testing import CliRunner

import twintrack as tt
from twintrack.audit import detail as audit_detail
from twintrack.audit import freeze_frame
from twintrack.audit import report as audit_report
from twintrack.audit import run as audit_run
from twintrack.audit import study as audit
from twintrack.audit import table as audit_table
from twintrack.command.cli import main
from twintrack.errors import InputError

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
        result = audit_run.run(audit.load(folder / "study.toml"), folder / "out", jobs=2, progress=False)
    return result, folder / "out"


def test_what_the_monitors_make_of_three_faults(done):
    """Track 1 at 0 V: seen by the range check after more than 100 ms, 101 ticks.

    The blade of parameter set A is back in 0.19 s with the bridge open (0.191 s from 80°, computed by this
    project's authors from the published set). A loop that believes the dead track opens the blade for good.
    """
    cases = done[0].cases.set_index(["setup", "fault", "instant"]).sort_index()
    low = cases.loc[("default", FEW[0], "full")]
    assert (low["finding"], low["detected_by"]) == ("caught", "throttle/pedal position sensor A circuit low")
    assert low["fdti_s"] == pytest.approx(0.101, abs=1e-6)
    assert low["return_s"] == pytest.approx(0.191, abs=0.01)
    assert cases.loc[("none", FEW[0], "full"), "finding"] == "missed"
    assert cases.loc[("none", FEW[0], "full"), "unasked"] > 0.9
    assert cases.loc[("none", FEW[0], "full"), "rules_failed"] != ""
    assert cases.loc[("mine", FEW[0], "full"), "finding"] == "vain"  # deviation alone: after a second
    assert cases.loc[("none", FEW[2], "at rest"), "finding"] == "harmless"  # the lower track is taken


def test_order_and_tables(done):
    result, out = done
    assert list(result.audit.setups) == ["default", "mine", "none"]
    assert len(result.cases) == 3 * 2 * 3
    assert (result.cases["status"] == "completed").all()
    findings = list(result.faults["finding"])
    assert findings == sorted(findings, key=list(audit_table.FINDINGS).index)
    stored = pd.read_parquet(out / "audit_cases.parquet")
    pd.testing.assert_frame_equal(stored, result.cases)
    assert len(pd.read_csv(out / "audit_faults.csv")) == len(result.faults) == 3 * 3
    unwatched = result.coverage[result.coverage["setup"] == "none"].iloc[0]
    assert unwatched["coverage"] == 0.0
    assert unwatched["missed"] == unwatched["dangerous"] > 0
    assert (result.healthy["codes"] == "").all()


def test_page_stands_alone(done):
    result, out = done
    page = (out / "audit.html").read_text()
    assert "<b>small</b>" not in page
    assert "&lt;b&gt;small" in page
    assert "url(http" not in page
    assert " src=" in page
    assert page.count(" src=") == page.count(' src="data:image/png;base64,') == len(result.pictured)
    for kind in set(result.cases["kind"]):
        assert kind in page
    assert "Simulation is no proof of safety" in page
    assert (out / "audit.png").stat().st_size > 10_000


def test_same_on_any_number_of_threads(few, done, path, tmp_path):
    again = audit_run.run(audit.load(path), tmp_path / "one", jobs=1, progress=False, report=False)
    pd.testing.assert_frame_equal(again.cases, done[0].cases, check_exact=True)
    assert (tmp_path / "one/audit_faults.csv").read_bytes() == (done[1] / "audit_faults.csv").read_bytes()


def test_command(few, path, tmp_path):
    words = ["audit", str(path), "--out", str(tmp_path / "out"), "--quiet"]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output
    assert "never seen" in result.output
    assert str(tmp_path / "out/audit.html") in result.output


def test_check(few, path):
    result = CliRunner().invoke(main, ["check", str(path)])
    assert result.exit_code == 0, result.output
    assert "as an audit: 3 set-ups (default, mine, none), 18 cases" in result.output
    path.write_text(path.read_text().replace('"at rest"', '"noon"'))
    assert "there is no instant 'noon'" in CliRunner().invoke(main, ["check", str(path)]).output


def test_the_page_tells_every_case(done):
    """Each fault under each set-up at each instant, and where something dangerous went unseen."""
    result, out = done
    page = (out / "audit.html").read_text()
    single = audit_detail.by_instant(result.cases, result.verdicts, list(result.audit.setups))
    assert sum(len(fault["rows"]) for faults in single.values() for fault in faults) == len(result.cases)
    assert page.count('class="single"') == len(FEW)
    dead = next(f for f in single["throttle track: offset"] if f["fault"] == FEW[0])
    assert [(row["setup"], row["instant"], row["finding"]) for row in dead["rows"][:2]] == [
        ("default", "full", "caught"),
        ("default", "at rest", "caught"),
    ]
    assert dead["rows"][0]["fdti"] == "101 ms"
    passed, failed, unfit = map(int, dead["rows"][0]["verdicts"].split(" / "))
    assert passed + failed + unfit == len(result.audit.rules)
    unseen = audit_detail.harmful(result.cases, "none", "missed")
    assert [row["fault"] for row in unseen] == [FEW[0], FEW[1]]
    assert unseen[0]["when"] == "every instant"


def test_an_instant_that_never_comes_is_left_out_and_told(few, path, tmp_path):
    """The springs of parameter set A leave the blade at its closed stop: nothing to cross."""
    path.write_text(path.read_text().replace('["full", "at rest"]', '["full", "crossing"]'))
    result = audit_run.run(audit.load(path), tmp_path / "out", jobs=2, progress=False)
    assert set(result.cases["instant"]) == {"full"}
    assert (result.cases["status"] == "completed").all()
    assert "never with half-slope-high + set-a" in (tmp_path / "out/audit.html").read_text()


def test_freeze_frames(done):
    """Track 1 at 0 V: it is left out at once, and the blade stays where the foot asks, by track 2."""
    _, traces = done[0].pictured["throttle track: offset"]
    frame = traces["default"].attrs["codes"][0]
    assert traces["none"].attrs["codes"] == []
    signals = frame["signals"]
    assert list(signals) == freeze_frame.titles(with_engine=False)
    assert float(signals["throttle tracks"].split(" / ")[0]) == pytest.approx(0.0, abs=0.11)  # and its noise
    assert frame["reaction"] == "none"  # the tick that confirms it, before the reaction to it
    assert signals["throttle tracks"].count("/") == 1  # two tracks
    by_the_other_track = float(signals["true opening"].removesuffix(" %"))
    assert by_the_other_track == pytest.approx(float(signals["set point"].removesuffix(" %")), abs=2)
    assert frame["code"] in (done[1] / "audit.html").read_text()


def test_ctrl_c_keeps_what_is_finished(few, path, tmp_path, monkeypatch):
    """Ctrl-C at the tenth run; one thread makes the moment certain."""
    genuine, count = tt.run_case, itertools.count(1)

    def run_case(case, **keywords):
        if next(count) == 10:
            signal.raise_signal(signal.SIGINT)
        return genuine(case, **keywords)

    monkeypatch.setattr(audit_run._core, "run_case", run_case)
    out = tmp_path / "out"
    result = audit_run.run(audit.load(path), out, jobs=1, progress=False)
    assert result.interrupted
    assert set(result.cases["status"]) == {"completed", "not run"}
    assert "Stopped before the end" in (out / "audit.html").read_text()
    assert "Cases not run" in audit_report.headline(result)


def test_a_refused_learn_is_told(few, path, tmp_path, monkeypatch):
    refused = types.SimpleNamespace(accepted=False, reason="pressed once")
    monkeypatch.setattr(audit_run._core, "run_learn", lambda case: types.SimpleNamespace(result=refused))
    with pytest.raises(InputError, match=r"set-a: the range learn is refused \(pressed once\)"):
        audit_run.run(audit.load(path), tmp_path / "out", progress=False)
    assert not (tmp_path / "out").exists()


def test_an_audit_with_an_engine_says_what_became_of_it(few, path, tmp_path):
    """Track 1 of the throttle dead: motor off and speed limited under the default; unwatched nobody does."""
    text = path.read_text()
    drive = text[text.index("stroke") : text.index("rule_sets")]
    slow = drive.replace('"0.6 s", "0.8 s", "2 s", "2.2 s", "4 s"', '"6 s", "6.2 s", "8 s", "8.2 s", "16 s"')
    text = text.replace(drive, slow + '[bench]\nengine = "small-four"\n')
    text = text.replace('rule_sets = ["return to idle", "fault-tolerant time"]\n', "")
    path.write_text(text.replace('instants = ["full", "at rest"]', 'instants = ["full"]'))
    result = audit_run.run(audit.load(path), tmp_path / "out", jobs=2, progress=False)
    cases = result.cases.set_index(["setup", "fault"]).sort_index()
    default, none = cases.loc[("default", FEW[0])], cases.loc[("none", FEW[0])]
    assert (default["reaction"], default["speed_limit"]) == ("motor off", "passed")
    assert none["speed_limit"] == "not applicable"
    assert none["return_to_idle"] == "failed"
    assert default["return_to_idle"] == "passed"
    assert none["idle"] == "dangerous"
    page = (tmp_path / "out/audit.html").read_text()
    assert "<th>speed limit</th>" in page
    assert re.search(r"engine speed \d+ rpm, idle asks \d", default["freeze_frame"])
    assert '<th class="number">engine speed</th>' in page
    assert {"idle", "idle_band"} <= set(result.faults.columns)


def test_every_case_keeps_the_frame_of_its_first_code(done):
    result, out = done
    seen = result.cases[result.cases["codes"] != ""]
    assert len(seen) > 0
    for codes, frame in zip(seen["codes"], seen["freeze_frame"], strict=True):
        assert frame.startswith(codes.split()[0] + " at ")
        assert "supply" in frame
    assert (result.cases.loc[result.cases["codes"] == "", "freeze_frame"] == "").all()
    assert (out / "audit.html").read_text().count('class="frame"') == len(seen)
