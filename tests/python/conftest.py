# SPDX-License-Identifier: BSD-3-Clause
"""A small study that has all four groups of cases, and one whose parameters scatter."""

import signal

import pytest

import twintrack as tt
from twintrack.experiments import report
from twintrack.experiments.drive import drive
from twintrack.experiments.plan import load
from twintrack.experiments.result import Result


def pytest_configure():
    """Ctrl-C is tested: started in the background, Python would ignore it."""
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)


@pytest.fixture(scope="session")
def names():
    """Two pedals and two throttle bodies, by name."""
    return list(tt.pedals())[:2], list(tt.bodies())[:2]


@pytest.fixture(scope="session")
def study_text(names):
    pedals, bodies = names
    return f"""title = "small"
pedals = ["{pedals[0]}", "{pedals[1]}"]
bodies = ["{bodies[0]}", "{bodies[1]}"]
learn = ["none", "fresh", "stale"]
stroke = {{ time = ["0 s", "1.5 s", "2.5 s", "4 s"], travel = [0.0, 0.0, 0.5, 0.5] }}

[bench]
supply = "13.0 V"
seed = 7
"""


@pytest.fixture
def study_file(tmp_path, study_text):
    path = tmp_path / "study.toml"
    path.write_text(study_text)
    return path


@pytest.fixture(scope="session")
def finished(tmp_path_factory, study_text):
    """The small study, run once with a title that is no markup to a page."""
    folder = tmp_path_factory.mktemp("study")
    (folder / "study.toml").write_text(study_text.replace('"small"', '"<b>small</b> & fine"'))
    done = tt.Study.load(folder / "study.toml", solver="exact").run(folder / "out", jobs=2, progress=False)
    report.write(done)
    return done


@pytest.fixture(scope="session")
def campaign_text():
    """Two pedals, a drifting track, a short stroke; every spread is invented."""
    return """title = "drift"
pedals = ["half-slope-low", "opposed"]
bodies = ["opposed-six"]
learn = ["fresh"]
rule_sets = ["fault-tolerant time"]
stroke = { time = ["0 s", "1.5 s", "2.5 s", "4 s"], travel = [0.0, 0.0, 0.5, 0.5] }
[[faults]]
where = "pedal.track1"
what = "offset"
amount = 0.04
from = "3 s"
[tolerances]
supply = { normal = ["13 V", "0.5 V"], least = "11 V", most = "15 V" }
"pedal.tracks[2].ratio" = { normal = [1.0, 0.005], as = "factor", after_learn = true }
"faults[1].amount" = { uniform = [-0.15, 0.15] }
"faults[1].from" = { uniform = ["1 s", "3 s"] }
"acquisition.bits" = { values = [10, 12] }
[bench]
seed = 5
"""


@pytest.fixture(scope="session")
def campaign_path(tmp_path_factory, campaign_text):
    path = tmp_path_factory.mktemp("campaign") / "study.toml"
    path.write_text(campaign_text)
    return path


@pytest.fixture(scope="session")
def whole_campaign(campaign_path):
    """Forty cases, run at once."""
    out = campaign_path.parent / "whole"
    done = drive(load(campaign_path, "exact"), out, 40, jobs=2, progress=False)
    assert (done.ran, done.interrupted, done.failures) == (40, False, [])
    return Result(out)
