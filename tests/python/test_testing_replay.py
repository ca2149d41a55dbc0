# SPDX-License-Identifier: BSD-3-Clause
"""A log through a controller, and controllers made by hand."""

import numpy as np
import pytest
from seeded_defects import build

import twintrack as tt
from twintrack.errors import InputError
from twintrack.files import traces

PRESS = tt.Stroke(time=[0.0, 0.6, 0.8, 1.5], travel=[0.0, 0.0, 0.6, 0.6])


@pytest.fixture(scope="module")
def bench():
    made = tt.Bench(pedal="half-slope-low", body="opposed-six")
    assert made.learn().accepted
    return made


def snapshots(bench, controller=None):
    session = bench.session(PRESS, controller=controller)
    return [session.step() for _ in range(1500)]


def test_the_built_in_controller_by_the_factory_gives_the_same_bits(bench):
    """In the loop in place of itself, and from the readings of a session."""
    made = tt.make_controller(bench.parameters, bench.learned)
    np.testing.assert_array_equal(
        bench.run(PRESS, controller=made).record.matrix(), bench.run(PRESS).record.matrix()
    )
    found = tt.replay(snapshots(bench), bench=bench, tolerance=0.0)
    assert len(found.commands) == 1500
    assert found.commands["duty"].abs().max() > 0.1
    assert not len(found.disagreements)
    assert not found.failure


def test_a_controller_in_c_and_a_changed_copy_of_it(bench, tmp_path):
    """The changed copy takes its readings by a shorter table, and so commands another duty."""
    healthy, changed = (str(build(tmp_path, name)) for name in ("healthy", "off_by_one"))
    log = snapshots(bench, tt.SharedController(healthy))
    assert not len(tt.replay(log, healthy, bench=bench, tolerance=0.0).disagreements)
    found = tt.replay(log, changed, bench=bench).disagreements
    assert len(found) > 1000
    assert list(found.columns) == ["duty", "mode", "logged_duty", "logged_mode", "difference"]
    assert repr(tt.replay(log, changed, bench=bench)).endswith(f"{len(found)} of 1500 ticks disagree>")


@pytest.mark.parametrize("ending", ["csv", "parquet", "mf4"])
def test_a_trace_in_a_file(bench, tmp_path, ending):
    """Its volts are not filtered: the built-in controller answers nearly the same."""
    record = bench.run(PRESS).record
    path = tmp_path / f"log.{ending}"
    if ending == "csv":
        traces.to_pandas(record).to_csv(path)
    else:
        {"parquet": traces.write_parquet, "mf4": traces.write_mdf4}[ending](record, path, {})
    found = tt.replay(path, bench=bench, tolerance=0.2)
    assert len(found.commands) == len(record)
    assert np.corrcoef(found.commands["duty"], record["duty"])[0, 1] > 0.9
    assert found.commands["logged_duty"].to_numpy() == pytest.approx(record["duty"], abs=1e-12)


def test_a_controller_that_fails_ends_the_replay(bench):
    class Late:
        def step(self, seen):
            return tt.Command(mode="drive", duty=0.1 if seen.time < 0.2 else 3.0)

    found = tt.replay(snapshots(bench), lambda learned, parameters, period: Late(), bench=bench)
    assert len(found.commands) == 200
    assert found.failure == "at 0.2 s: the controller answered duty = 3; allowed: -1 to 1"
    with pytest.raises(RuntimeError, match=r"step\(\) must return a Command; got float"):
        tt.make_controller(bench.parameters, bench.learned, lambda *_: Answers(0.5)).step(tt.ControlInput())
    with pytest.raises(RuntimeError, match="LookupError: no table"):
        tt.make_controller(bench.parameters, bench.learned, raising)


class Answers:
    def __init__(self, answer):
        self.answer = answer

    def step(self, _seen):
        return self.answer


def raising(*_):
    raise LookupError("no table")


def test_logs_that_cannot_be_used(bench, tmp_path):
    table = bench.run(PRESS).to_pandas()
    with pytest.raises(InputError, match=r"there is no column 'duty'"):
        tt.replay(table.drop(columns="duty"), bench=bench)
    with pytest.raises(InputError, match=r"row 4 comes 0\.002 s after the one before; allowed: one"):
        tt.replay(table.drop(index=table.index[3]), bench=bench)
    table.iloc[7, list(table.columns).index("supply")] = np.nan
    with pytest.raises(InputError, match="supply: row 8 is no finite number"):
        tt.replay(table, bench=bench)
    with pytest.raises(InputError, match="cannot be read: No such file"):
        tt.replay(tmp_path / "none.csv", bench=bench)
    (tmp_path / "text.parquet").write_text("no table")
    with pytest.raises(InputError, match=r"text\.parquet: cannot be read as a log"):
        tt.replay(tmp_path / "text.parquet", bench=bench)
