# SPDX-License-Identifier: BSD-3-Clause
"""Columns of a log file, in SI units and in bounded memory: CSV, Parquet, MDF4 (with asammdf).

A file of more rows than are kept is read twice: once to see where the blade moves most, once to take that
stretch.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..errors import InputError, closest, listing
from ..units import quantity

if TYPE_CHECKING:
    import pandas as pd

Floats = NDArray[np.float64]

#: What a log may hold, and the unit it is turned into.
SIGNALS = {
    "time": "s",
    "voltage": "V",  # at the motor's terminals
    "duty": "",  # of the bridge, −1 … 1
    "supply": "V",
    "current": "A",
    "angle": "rad",  # of the blade
    "opening": "",  # share of travel
    "track1": "V",
    "track2": "V",
    "track3": "V",
}

#: The names that this program's own traces use.
_OWN = {
    "motor.current": "current",
    "blade.opening": "opening",
    **{f"throttle.track{k}": f"track{k}" for k in (1, 2, 3)},
}

_TITLE = re.compile(r"^\s*(.*?)\s*(?:[\[(]\s*([^\])]*)\s*[\])])?\s*$")
_ROWS_AT_ONCE = 100_000
_BLOCK = 2_000


@dataclass(frozen=True)
class RawLog:
    """Columns by signal, in SI units, as they stand in the file; ``rows``: how many it has, ``first``: the
    row (from 0) that the columns begin with."""

    source: str
    columns: dict[str, Floats]
    rows: int
    first: int
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class _Wanted:
    column: str
    factor: float
    offset: float


def read(path: str | Path, columns: Mapping[str, str] | None = None, *, keep: int = 120_000) -> RawLog:
    """The signals of a log file.

    ``columns`` maps signals (the keys of ``SIGNALS``) to column names, with the unit in brackets where it is
    not the SI unit: ``{"time": "t [ms]", "current": "I_mot [mA]"}``. Absent, columns that are called like
    signals are taken, with or without a unit. Raises :class:`InputError` for a file, column, unit or number
    that cannot be used.
    """
    path = Path(path)
    titles = _titles(path)
    wanted = _wanted(path, titles, columns)
    names = list(wanted)
    kept, rows, activity = _first_pass(path, wanted, keep)
    first, remarks = 0, []
    if rows == 0:
        raise InputError(f"{path}: the log is empty")
    if rows > keep:
        first = _liveliest(activity, keep, rows)
        kept = _window(path, wanted, first, keep)
        remarks.append(
            f"{rows} rows; those from {first + 1} to {first + len(kept)} are used, where the blade moves most"
        )
    data = {name: np.ascontiguousarray(kept[:, k]) for k, name in enumerate(names)}
    return RawLog(str(path), data, rows, first, tuple(remarks))


def _titles(path: Path) -> list[str]:
    try:
        if path.suffix.lower() in (".parquet", ".pq"):
            import pyarrow.parquet as pq

            return list(pq.ParquetFile(path).schema_arrow.names)
        if path.suffix.lower() in (".mf4", ".mdf"):
            with _mdf(path) as file:
                return ["time", *file.channels_db]
        import pandas as pd

        return [str(c) for c in pd.read_csv(path, nrows=0, sep=None, engine="python", comment="#").columns]
    except InputError:
        raise
    except UnicodeDecodeError as error:
        raise InputError(f"{path}: not a text file in UTF-8 (byte {error.start})") from error
    except OSError as error:
        raise InputError(f"{path}: cannot be read: {error.strerror or error}") from error
    except Exception as error:  # the readers raise many kinds
        nothing = "No columns" in str(error) or (path.is_file() and path.stat().st_size == 0)
        what = "the log is empty" if nothing else f"cannot be read as a log: {error}"
        raise InputError(f"{path}: {what}") from error


def _mdf(path: Path):  # type: ignore[no-untyped-def]
    try:
        from asammdf import MDF
    except ImportError as error:
        raise InputError(f"{path}: MDF4 needs the package asammdf (pip install twintrack[mdf])") from error
    return MDF(path)


def _wanted(path: Path, titles: list[str], columns: Mapping[str, str] | None) -> dict[str, _Wanted]:
    found: dict[str, _Wanted] = {}
    if columns is None:
        for title in titles:
            name, unit = _split(title)
            name = _OWN.get(name, name)
            if name in SIGNALS and name not in found:
                found[name] = _scaled(path, name, title, unit)
    else:
        for name, text in columns.items():
            if name not in SIGNALS:
                known = listing(SIGNALS)
                raise InputError(
                    f"{path}: {name!r} is no signal{closest(name, SIGNALS)} (there are: {known})"
                )
            bare, unit = _split(text)
            column = text if text in titles else bare
            if column not in titles:
                raise InputError(
                    f"{path}: there is no column {column!r}{closest(column, titles)} "
                    f"(there are: {listing(titles)})"
                )
            found[name] = _scaled(path, name, column, unit or _split(column)[1])
    missing = "time" if "time" not in found else ""
    if not {"angle", "opening", "track1"} & set(found):
        missing = missing or "angle (or opening, or track1)"
    if "voltage" not in found and not {"duty", "supply"} <= set(found):
        missing = missing or "voltage (or duty and supply)"
    if missing:
        raise InputError(f"{path}: no column for {missing}; say which, such as --column 'time=t [ms]' "
                         f"(there are: {listing(titles)})")  # fmt: skip
    return found


def _split(title: str) -> tuple[str, str]:
    match = _TITLE.match(title)
    return (match[1], match[2] or "") if match else (title, "")


def _scaled(path: Path, name: str, column: str, unit: str) -> _Wanted:
    wanted = SIGNALS[name]
    if not unit:
        return _Wanted(column, 1.0, 0.0)
    try:
        zero, one = quantity(f"0 {unit}", wanted), quantity(f"1 {unit}", wanted)
    except InputError as error:
        raise InputError(f"{path}: column {column!r} for {name}: {error}") from error
    return _Wanted(column, one - zero, zero)


def _chunks(path: Path, wanted: Mapping[str, _Wanted]) -> Iterator[Floats]:
    """Rows × signals in SI units, some at a time."""
    names = list(dict.fromkeys(w.column for w in wanted.values()))
    row = 0
    for frame in _frames(path, names):
        block = np.empty((len(frame), len(wanted)))
        for k, (signal, w) in enumerate(wanted.items()):
            block[:, k] = _numbers(path, frame, w.column, signal, row) * w.factor + w.offset
        row += len(frame)
        yield block


def _frames(path: Path, names: list[str]) -> Iterator[pd.DataFrame]:
    suffix = path.suffix.lower()
    if suffix in (".parquet", ".pq"):
        import pyarrow.parquet as pq

        for batch in pq.ParquetFile(path).iter_batches(_ROWS_AT_ONCE, columns=names):
            yield batch.to_pandas()
    elif suffix in (".mf4", ".mdf"):
        with _mdf(path) as file:
            channels = [name for name in names if name != "time"]
            for frame in file.iter_to_dataframe(
                channels=channels, chunk_ram_size=16 << 20, time_from_zero=False
            ):
                yield frame.rename_axis("time").reset_index()
    else:
        import pandas as pd

        separator = _separator(path)
        with pd.read_csv(path, usecols=names, chunksize=_ROWS_AT_ONCE, sep=separator, comment="#") as reader:
            yield from reader


def _separator(path: Path) -> str:
    with path.open(encoding="utf-8") as file:
        head = next((line for line in file if line.strip() and not line.startswith("#")), "")
    return max(",;\t", key=head.count)


def _numbers(path: Path, frame: pd.DataFrame, column: str, signal: str, row: int) -> Floats:
    import pandas as pd

    values = frame[column]
    if pd.api.types.is_numeric_dtype(values):
        return values.to_numpy(np.float64, na_value=np.nan)
    numbers = pd.to_numeric(values, errors="coerce")
    bad = (numbers.isna() & values.notna()).to_numpy()
    if bad.any():
        at = int(np.argmax(bad))
        raise InputError(
            f"{path}: row {row + at + 1}: column {column!r} for {signal}: {values.iloc[at]!r} is no number"
        )
    return numbers.to_numpy(np.float64, na_value=np.nan)


def _first_pass(path: Path, wanted: Mapping[str, _Wanted], keep: int) -> tuple[Floats, int, Floats]:
    """The first ``keep`` rows, how many there are, and how far the blade moves in every block."""
    names = list(wanted)
    moving = next(names.index(s) for s in ("angle", "opening", "track1") if s in wanted)
    time = names.index("time")
    kept: list[Floats] = []
    rows, last, activity = 0, -np.inf, []
    for chunk in _chunks(path, wanted):
        last = _check_time(path, chunk[:, time], rows, last)
        if rows < keep:
            kept.append(chunk[: keep - rows])
        for begin in range(0, len(chunk), _BLOCK):
            part = chunk[begin : begin + _BLOCK, moving]
            part = part[np.isfinite(part)]
            activity.append(float(np.ptp(part)) if part.size else 0.0)
        rows += len(chunk)
    return (np.concatenate(kept) if kept else np.empty((0, len(names)))), rows, np.array(activity)


def _check_time(path: Path, time: Floats, row: int, last: float) -> float:
    known = np.flatnonzero(np.isfinite(time))
    if not known.size:
        return last
    values = np.concatenate([[last], time[known]])
    back = np.flatnonzero(np.diff(values) < 0.0)
    if back.size:
        at = int(back[0])
        raise InputError(
            f"{path}: time goes backwards in row {row + int(known[at]) + 1}: "
            f"{values[at + 1]:.6g} s after {values[at]:.6g} s"
        )
    return float(values[-1])


def _liveliest(activity: Floats, keep: int, rows: int) -> int:
    """First row of the stretch of ``keep`` rows in which the blade moves most."""
    blocks = max(keep // _BLOCK, 1)
    sums = np.convolve(activity, np.ones(blocks), "valid")
    return int(min(int(np.argmax(sums)) * _BLOCK, rows - keep))


def _window(path: Path, wanted: Mapping[str, _Wanted], first: int, keep: int) -> Floats:
    parts, row = [], 0
    for chunk in _chunks(path, wanted):
        low, high = max(first - row, 0), min(first + keep - row, len(chunk))
        if low < high:
            parts.append(chunk[low:high])
        row += len(chunk)
        if row >= first + keep:
            break
    return np.concatenate(parts)
