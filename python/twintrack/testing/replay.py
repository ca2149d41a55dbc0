# SPDX-License-Identifier: BSD-3-Clause
"""A log through a controller: what it would have commanded, beside what was commanded.

The controller is not in the loop: the readings stay those of the log, whatever it answers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from .. import _core
from ..bench import Bench
from ..errors import InputError, closest
from ..studies import own_controller
from ..studies.own_controller import Factory

if TYPE_CHECKING:
    import pandas as pd

#: What a log must hold beside "time" [s], as a bench's own traces do. Tracks: volts at the controller's pins.
NEEDED = ("pedal.track1", "throttle.track1", "supply", "duty")

#: What it may hold: signal → value where it does not.
OPTIONAL = {
    **{f"{part}.track{k}": 0.0 for part in ("pedal", "throttle") for k in (2, 3)},
    "motor.current": 0.0,
    "reaction": 0.0,
    "idle_opening": 0.0,
}

_MOTOR_OFF = "motor off"


@dataclass(frozen=True)
class Replay:
    """``commands`` has a row a tick, indexed by time [s]: ``duty``, ``mode``, ``logged_duty``,
    ``logged_mode`` (empty where the log does not tell it) and ``difference`` of the duties. ``failure`` says
    when and why the controller gave no command to use; no row follows then."""

    commands: pd.DataFrame
    tolerance: float
    failure: str

    @property
    def disagreements(self) -> pd.DataFrame:
        """The ticks at which the duties differ by more than ``tolerance``, or the modes differ."""
        c = self.commands
        other_mode = (c["logged_mode"] != "") & (c["mode"] != c["logged_mode"])
        return c[(c["difference"].abs() > self.tolerance) | other_mode]

    def __repr__(self) -> str:
        told = f"{len(self.disagreements)} of {len(self.commands)} ticks disagree"
        return f"<Replay: {told}{'; ' + self.failure if self.failure else ''}>"


def replay(
    log: str | Path | pd.DataFrame | Iterable[_core.Snapshot],
    unit: Factory | str | None = None,
    *,
    bench: Bench,
    tolerance: float = 1e-9,
) -> Replay:
    """Runs every tick of ``log`` through a controller that knows what ``bench`` has learned.

    ``log``: the snapshots of a session, whose readings are exact, so that the same controller answers the
    same bits; or a trace (CSV, Parquet, MDF4 by file, or a table) with the signals of ``NEEDED`` and
    ``OPTIONAL`` under these names and in SI units, one row a control period. A trace
    holds pin volts; they are converted without filter and noise, so that readings may differ by some codes
    from those that the controller had.
    ``unit``: as for :meth:`Study.run`; ``None``: the built-in controller.

    Raises :class:`InputError` for a log that cannot be read, lacks a signal, holds what is no number, or
    whose rows are not a control period apart.
    """
    factory: Any = None
    if unit is not None:
        factory = (own_controller.load(unit) if isinstance(unit, str) else own_controller.of(unit)).made()
    controller = _core.make_controller(bench.parameters, bench.learned, factory)
    rows, failure = [], ""
    for seen, duty, mode in _ticks(log, bench.parameters):
        try:
            command = controller.step(seen)
        except RuntimeError as error:
            failure = f"at {seen.time:g} s: {error}"
            break
        answered = command.duty if command.mode == "drive" else 0.0
        rows.append((seen.time, answered, command.mode, duty, mode, answered - duty))
    return Replay(_table(rows), tolerance, failure)


def _table(rows: list[tuple[Any, ...]]) -> pd.DataFrame:
    import pandas as pd

    names = ["time", "duty", "mode", "logged_duty", "logged_mode", "difference"]
    return pd.DataFrame(rows, columns=names).set_index("time")


def _ticks(log: Any, parameters: _core.BenchParameters) -> Iterator[tuple[_core.ControlInput, float, str]]:
    import pandas as pd

    if isinstance(log, str | Path):
        return _of_trace(_read(Path(log)), str(log), parameters)
    if isinstance(log, pd.DataFrame):
        return _of_trace(log.reset_index() if log.index.name == "time" else log, "log", parameters)
    return ((one.input, one.command.duty, one.command.mode) for one in log)


def _read(path: Path) -> pd.DataFrame:
    import pandas as pd

    try:
        if path.suffix.lower() in (".parquet", ".pq"):
            table = pd.read_parquet(path)
        elif path.suffix.lower() in (".mf4", ".mdf"):
            from asammdf import MDF

            with MDF(path) as file:
                table = file.to_dataframe(time_from_zero=False)
            table.index.name = "time"
        else:
            table = pd.read_csv(path, comment="#")
    except ImportError as error:
        raise InputError(f"{path}: MDF4 needs the package asammdf (pip install twintrack[mdf])") from error
    except OSError as error:
        raise InputError(f"{path}: cannot be read: {error.strerror or error}") from error
    except Exception as error:  # the readers raise many kinds
        raise InputError(f"{path}: cannot be read as a log: {error}") from error
    return table.reset_index() if table.index.name == "time" else table


def _of_trace(
    table: pd.DataFrame, source: str, parameters: _core.BenchParameters
) -> Iterator[tuple[_core.ControlInput, float, str]]:
    columns = {name: _column(table, name, source) for name in ("time", *NEEDED)}
    for name, other in OPTIONAL.items():
        columns[name] = _column(table, name, source) if name in table else np.full(len(table), other)
    steps = np.diff(columns["time"])
    period = parameters.control_period
    wrong = np.flatnonzero(np.abs(steps - period) > 0.1 * period)
    if len(wrong):
        raise InputError(
            f"{source}: row {wrong[0] + 2} comes {steps[wrong[0]]:.4g} s after the one before; allowed: one "
            f"control period, {period:g} s"
        )
    return _inputs(columns, parameters)


def _column(table: pd.DataFrame, name: str, source: str) -> Any:
    if name not in table:
        raise InputError(f"{source}: there is no column {name!r}{closest(name, map(str, table.columns))}")
    try:
        values = table[name].to_numpy(dtype=float)
    except (TypeError, ValueError) as error:
        raise InputError(f"{source}: {name}: {error}") from error
    bad = np.flatnonzero(~np.isfinite(values))
    if len(bad):
        raise InputError(f"{source}: {name}: row {bad[0] + 1} is no finite number")
    return values


def _inputs(
    columns: dict[str, Any], p: _core.BenchParameters
) -> Iterator[tuple[_core.ControlInput, float, str]]:
    full = 2.0**p.acquisition.bits - 1.0
    off = list(_core.reactions()).index(_MOTOR_OFF)

    def readings(part: str) -> Any:
        volts = np.column_stack([columns[f"{part}.track{k}"] for k in (1, 2, 3)])
        return np.clip(np.rint(volts / p.reference * full), 0.0, full) / full

    pedal, throttle = readings("pedal"), readings("throttle")
    for k, time in enumerate(columns["time"]):
        seen = _core.ControlInput(
            time=time,
            pedal=pedal[k],
            throttle=throttle[k],
            supply=columns["supply"][k],
            reference=p.reference,
            motor_current=columns["motor.current"][k],
            motor_permitted=bool(columns["reaction"][k] < off),
            idle_opening=columns["idle_opening"][k],
        )
        yield seen, float(columns["duty"][k]), ""
