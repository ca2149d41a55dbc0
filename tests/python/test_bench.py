# SPDX-License-Identifier: BSD-3-Clause
"""The bench to hold in the hand, and the pictures it makes."""

import numpy as np
import pytest
from matplotlib import pyplot as plt

import twintrack as tt
from twintrack.pages import plot


@pytest.fixture(scope="module")
def bench(names):
    made = tt.Bench(pedal=names[0][0], body=names[1][0], seed=3)
    made.learn()
    return made


def test_no_answer_before_the_learn(names):
    """Common practice, no source: without learned ranges the blade stays where the springs hold it."""
    bench = tt.Bench(pedal=names[0][0], body=names[1][0])
    assert bench.learned is None
    run = bench.run()
    assert np.ptp(run.record["blade.opening"]) < 0.02
    assert [code.code for code in run.codes] == ["P2176"]


def test_answer_after_the_learn(bench):
    assert bench.learned is not None
    run = bench.run()
    assert run.outcome.ok
    assert not run.codes
    full = run.record["pedal.travel"] > 0.999
    assert run.record["blade.opening"][full].max() > 0.9


def test_refused_learn_keeps_nothing(names):
    bench = tt.Bench(pedal=names[0][0], body=names[1][0])
    refused = bench.learn(tt.Stroke.rest(30.0))
    assert not refused.accepted
    assert refused.reason
    assert bench.learned is None


def test_run_as_a_table(bench):
    run = bench.run(duration=1.0)
    table = run.to_pandas()
    assert list(table.columns) == list(run.record.names)
    assert table.index.name == "time"
    assert table.index[-1] == pytest.approx(1.0)
    assert table.attrs["units"]["supply"] == "V"
    np.testing.assert_array_equal(table["duty"], run.record["duty"])


def test_own_controller(bench):
    class Half:
        def step(self, _input):
            return tt.Command(mode="drive", duty=0.5)

    run = bench.run(duration=0.5, controller=Half())
    assert run.record["duty"][-1] == 0.5


def test_stepping_gives_the_same_bits(bench):
    session = bench.session()
    openings = [session.step().blade_opening for _ in range(500)]
    np.testing.assert_array_equal(openings, bench.run().record["blade.opening"][:500])


def test_values_instead_of_names(names):
    pedal = tt.pedal(names[0][0]).replace({"name": "mine", "travel": 0.4})
    bench = tt.Bench(pedal=pedal, body=tt.body(names[1][0]), supply=12.0)
    assert bench.parameters.pedal.travel == 0.4
    assert bench.parameters.supply == 12.0
    assert "mine" in repr(bench)


def test_errors(names):
    with pytest.raises(tt.InputError, match="there is no pedal 'x'"):
        tt.Bench(pedal="x", body=names[1][0])
    with pytest.raises(tt.InvalidParameter, match="supply"):
        tt.Bench(pedal=names[0][0], body=names[1][0], supply=float("nan"))
    with pytest.raises(ValueError, match="suply"):
        tt.Bench(pedal=names[0][0], body=names[1][0], suply=12.0)


def test_run_picture(bench):
    run = bench.run()
    figure = run.plot()
    openings = figure.axes[0]
    blade = next(line for line in openings.lines if line.get_label() == "blade")
    np.testing.assert_allclose(blade.get_ydata(), 100.0 * run.record["blade.opening"])
    assert [axes.get_ylabel() for axes in figure.axes[1:3]] == ["pedal\ntracks [V]", "throttle\ntracks [V]"]
    plt.close(figure)


def test_learn_picture(bench):
    figure = plot.learn_plot(bench.learned)
    np.testing.assert_array_equal(figure.axes[0].lines[0].get_ydata(), bench.learned.pedal[0].curve)


def test_everything_announced_is_there():
    assert all(hasattr(tt, name) for name in tt.__all__)
    assert set(tt.__all__) <= set(dir(tt))
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = tt.nothing


def test_a_session_that_goes_on_says_how_far_it_has_come(names):
    session = tt.Bench(pedal=names[0][0], body=names[1][0]).session()
    for _ in range(2000):
        session.step()
    assert session.outcome.status == "completed"
    assert session.outcome.when == pytest.approx(1.999, abs=1e-12), "the last tick that was made"
