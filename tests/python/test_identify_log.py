# SPDX-License-Identifier: BSD-3-Clause
"""Reading a log: formats, units, clocks, and what is said of a bad one."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pandas as pd
import pytest

import twintrack as tt
from twintrack import identify
from twintrack.errors import InputError
from twintrack.identify.log import noise_of

BODY = tt.body("half-slope-six")


@pytest.fixture(scope="module")
def seen():
    voltage = identify.strokes(BODY.mechanics, 4.0, seed=2)
    return identify.measure(BODY, voltage)


def table(seen):
    columns = {"time": seen.time, "voltage": seen.voltage, "current": seen.current, "angle": seen.angle}
    return pd.DataFrame(columns)


def log_of(path, **mapping):
    return identify.prepare(identify.read(path, mapping or None), BODY)


def test_formats_and_units_give_the_same_log(seen, tmp_path):
    plain = table(seen)
    scaled = pd.DataFrame(
        {
            "t [ms]": 1e3 * seen.time,
            "U (mV)": 1e3 * seen.voltage,
            "I_mot [mA]": 1e3 * seen.current,
            "phi": np.degrees(seen.angle),
        }
    )
    plain.to_csv(tmp_path / "a.csv", index=False)
    plain.to_csv(tmp_path / "semicolon.csv", index=False, sep=";")
    plain.to_parquet(tmp_path / "a.parquet")
    scaled.to_csv(tmp_path / "b.csv", index=False)
    mapping = {"time": "t [ms]", "voltage": "U (mV)", "current": "I_mot [mA]", "angle": "phi [deg]"}
    first = log_of(tmp_path / "a.csv")
    for other in (
        log_of(tmp_path / "semicolon.csv"),
        log_of(tmp_path / "a.parquet"),
        log_of(tmp_path / "b.csv", **mapping),
    ):
        np.testing.assert_allclose(other.angle, first.angle, rtol=1e-12)
        np.testing.assert_allclose(other.current, first.current, rtol=1e-12)
        assert other.period == pytest.approx(1e-3, rel=1e-9)


def test_mdf4(seen, tmp_path):
    asammdf = pytest.importorskip("asammdf")
    signals = [
        asammdf.Signal(values, seen.time, unit=unit, name=name)
        for name, unit, values in (
            ("voltage", "V", seen.voltage),
            ("current", "A", seen.current),
            ("angle", "rad", seen.angle),
        )
    ]
    with asammdf.MDF(version="4.10") as file:
        file.append(signals)
        file.save(tmp_path / "a.mf4")
    np.testing.assert_allclose(log_of(tmp_path / "a.mf4").angle, seen.angle, rtol=1e-12)


def test_opening_duty_and_tracks(seen, tmp_path):
    stops = BODY.mechanics.stops
    opening = (seen.angle - stops.closed_angle) / (stops.open_angle - stops.closed_angle)
    frame = pd.DataFrame({"time": seen.time, "duty [%]": 100 * seen.voltage / 12.5, "supply": 12.5})
    frame["opening [%]"] = 100 * opening
    frame.to_csv(tmp_path / "a.csv", index=False)
    log = log_of(tmp_path / "a.csv")
    np.testing.assert_allclose(log.angle, seen.angle, rtol=1e-9)
    np.testing.assert_allclose(log.voltage, seen.voltage, atol=1e-9)
    assert any("ratios only" in r for r in log.remarks)


def test_noise_is_that_of_the_instruments(seen):
    """Analytic: 3 mV and a code of 5 V/4095 over √12, on 3.8 V for the travel."""
    travel = BODY.mechanics.stops.open_angle - BODY.mechanics.stops.closed_angle
    expected = np.hypot(3e-3, 5.0 / 4095.0 / np.sqrt(12.0)) * travel / 3.8
    assert noise_of(seen.angle) == pytest.approx(expected, rel=0.05)


def test_dropped_samples_are_put_where_they_belong(seen, tmp_path):
    frame = table(seen).drop(index=range(1200, 1230))
    frame.to_csv(tmp_path / "a.csv", index=False)
    log = log_of(tmp_path / "a.csv")
    assert any("30 samples dropped, the longest gap 30 ms" in r for r in log.remarks)
    assert np.isnan(log.angle[1200:1230]).all()
    np.testing.assert_allclose(log.angle[1230:], seen.angle[1230:], rtol=1e-12)
    np.testing.assert_allclose(log.voltage[1200:1230], seen.voltage[1199])


def test_saturated_current_is_said(seen, tmp_path):
    frame = table(seen)
    frame["current"] = frame["current"].clip(-0.6, 0.6)
    frame.to_csv(tmp_path / "a.csv", index=False)
    assert any("saturated" in r for r in log_of(tmp_path / "a.csv").remarks)


def test_clock_offset_of_two_recorders():
    """The truth is put in: 37.3 ms late and 80 ppm fast."""
    voltage = identify.strokes(BODY.mechanics, 30.0, seed=4)
    seen = identify.measure(BODY, voltage)
    other = seen.time * (1.0 + 80e-6) + 0.0373
    draw = np.random.default_rng(1)
    found = identify.clock_offset(
        seen.time, seen.angle, other, seen.angle + 1e-3 * draw.standard_normal(len(other))
    )
    assert found.delay == pytest.approx(0.0373, abs=2e-4)
    assert found.drift == pytest.approx(80e-6, abs=2e-5)


def test_clocks_of_different_signals_are_refused():
    draw = np.random.default_rng(1)
    time = np.arange(10000) * 1e-3
    with pytest.raises(InputError, match="nothing in common"):
        identify.clock_offset(time, draw.standard_normal(10000), time, draw.standard_normal(10000))


def broken(frame, how):
    if how == "empty":
        return frame.iloc[:0]
    if how == "short":
        return frame.iloc[:20]
    if how == "constant voltage":
        return frame.assign(voltage=3.0)
    if how == "constant angle":
        return frame.assign(angle=0.3)
    if how == "backwards":
        return frame.assign(time=frame["time"].where(frame.index != 700, 0.1))
    if how == "degrees":
        return frame.assign(angle=np.degrees(frame["angle"]))
    if how == "millivolts":
        return frame.assign(voltage=1e3 * frame["voltage"])
    if how == "words":
        return frame.astype({"current": object}).assign(
            current=frame["current"].where(frame.index != 5, "off")
        )
    if how == "no numbers":
        return frame.assign(angle=np.nan)
    if how == "slow":
        return frame.assign(time=100 * frame["time"])
    if how == "never at rest":
        return frame.assign(voltage=frame["voltage"] + 3 * np.sin(90 * frame["time"]))
    return frame.drop(columns="angle")


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("empty", "the log is empty"),
        ("short", "at least 100"),
        ("constant voltage", "voltage never changes"),
        ("constant angle", "blade never moves"),
        ("backwards", r"time goes backwards in row 701: 0.1 s after 0.699 s"),
        ("degrees", "is it in deg"),
        ("millivolts", "is it in mV"),
        ("words", "row 6: column 'current' for current: 'off' is no number"),
        ("no numbers", "angle holds no number"),
        ("slow", "too slow"),
        ("never at rest", "must begin with a rest"),
        ("no angle", "no column for angle"),
    ],
)
def test_bad_logs_are_told(seen, tmp_path, how, words):
    broken(table(seen), how).to_csv(tmp_path / "a.csv", index=False)
    with pytest.raises(InputError, match=words):
        log_of(tmp_path / "a.csv")


@pytest.mark.parametrize(
    ("mapping", "words"),
    [
        ({"time": "tim", "voltage": "voltage", "angle": "angle"}, "did you mean 'time'"),
        ({"tme": "time"}, "no signal; did you mean 'time'"),
        ({"time": "time [V]", "voltage": "voltage", "angle": "angle"}, "wrong dimension"),
        ({"time": "time", "voltage": "voltage"}, "no column for angle"),
    ],
)
def test_bad_mappings_are_told(seen, tmp_path, mapping, words):
    table(seen).to_csv(tmp_path / "a.csv", index=False)
    with pytest.raises(InputError, match=words):
        identify.read(tmp_path / "a.csv", mapping)


def test_files_that_are_no_logs(tmp_path):
    (tmp_path / "nothing.csv").write_text("")
    (tmp_path / "bytes.csv").write_bytes(b"\xff\xfe\x00\x81")
    (tmp_path / "no.parquet").write_text("no")
    for name, words in (
        ("nothing.csv", "empty"),
        ("bytes.csv", "UTF-8"),
        ("no.parquet", "cannot be read"),
        ("absent.csv", "cannot be read"),
    ):
        with pytest.raises(InputError, match=words):
            identify.read(tmp_path / name)


def test_a_long_log_takes_bounded_memory(tmp_path):
    """Two million rows, of which only the lively stretch is kept (10⁷ in the closing note of the issue)."""
    rows, lively = 2_000_000, 1_300_000
    import pyarrow as pa
    import pyarrow.parquet as pq

    schema = pa.schema([(n, pa.float64()) for n in ("time", "voltage", "angle")])
    with pq.ParquetWriter(tmp_path / "long.parquet", schema) as writer:
        for first in range(0, rows, 100_000):
            index = np.arange(first, first + 100_000)
            moving = (index >= lively) & (index < lively + 50_000)
            angle = np.where(moving, 0.5 + 0.4 * np.sin(0.01 * index), 0.13)
            writer.write_table(pa.table([1e-3 * index, np.where(moving, 2.0, 0.0), angle], schema=schema))
    tracemalloc.start()
    raw = identify.read(tmp_path / "long.parquet")
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert raw.rows == rows
    assert raw.first <= lively < lively + 50_000 <= raw.first + len(raw.columns["time"])
    assert most < 60e6
    assert "the blade moves most" in raw.remarks[0]
