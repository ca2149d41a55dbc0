# SPDX-License-Identifier: BSD-3-Clause
"""What one fault did in one run, in the times of ISO 26262-1:2018.

    FDTI   fault detection time interval (3.55)   from the fault to the confirmed trouble code, or to the
                                                  trip of function monitor or independent device
    FRTI   fault reaction time interval (3.59)    from there to the safe state
    FHTI   fault handling time interval (3.56)    FDTI + FRTI

The safe state, to the end of the run: on the rungs of the ladder that switch the motor off, the blade at or
below its default position + 2 % of travel (FRTI is then the return time); on milder rungs, where the drive
goes on, no unasked opening beyond 10 %. A fault that only shows when the foot moves on is seen late and harms
nobody meanwhile; whether it was handled in time is therefore judged by what the blade did, not by FHTI alone.
(Terms and clauses as found in public texts; the standard was not read.)

An opening is *unasked* when neither the foot asks for it nor the same bench shows it without the fault:

    unasked(t) = θ̂(t) − max(asked(t), θ̂_healthy(t))        [share of travel]

The run is a *hazard* when that exceeds 10 % (student-competition rules 2024, T.4.2.4, IC.4.4.3) for longer
than the fault-tolerant time (0.5 s unless the study says otherwise; second hand).
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from ... import _core

#: Above the default position, still the safe state [share of travel]: this bench's own.
NEAR_DEFAULT = 0.02

#: The rungs on which the motor has no power.
OFF = ("motor off", "engine off")

#: What else may see a fault beside the monitor, and the signal that tells.
OTHERS = {"function monitor": "function_monitor.tripped", "independent device": "device.tripped"}

#: What the record must hold.
SIGNALS = ("asked", "blade.opening", "reaction", *OTHERS.values())

_TIMES = ("fdti_s", "frti_s", "fhti_s", "return_s", "function_monitor_s", "device_s")

#: What stands in the columns of a case that was not run.
EMPTY: dict[str, Any] = {"detected_by": "", **dict.fromkeys(_TIMES, math.nan), "hazard_unwatched": False}


def default_opening(body: _core.ThrottleBodyParameters) -> float:
    """Where the springs leave the unpowered blade [share of travel]."""
    stops = body.mechanics.stops
    travel = stops.open_angle - stops.closed_angle
    return (_core.default_angle(body.mechanics) - stops.closed_angle) / travel


def assess(
    result: Any,
    healthy: npt.NDArray[np.float64],
    start: float,
    resting: float,
    hazard: tuple[float, float] = (0.10, 0.5),
) -> dict[str, Any]:
    """The columns of one case.

    ``result`` carries its record; ``healthy`` is the blade's opening without the fault, over the same times;
    ``resting`` the default position [share of travel]; ``start`` in seconds; ``hazard`` limit and time.
    """
    record = result.record
    time, blade = record.time, record["blade.opening"]
    n = min(len(time), len(healthy))
    unasked = blade[:n] - np.maximum(record["asked"][:n], healthy[:n])
    unasked = np.where(time[:n] >= start, unasked, 0.0)
    limit, tolerance = hazard
    longest = longest_time(time[:n], unasked > limit)
    return {
        **_handling(result, start, resting, unasked <= limit),
        "unasked_opening": float(max(unasked.max(initial=0.0), 0.0)),
        "unasked_time_s": longest,
        "hazard": longest > tolerance,
    }


def _handling(result: Any, start: float, resting: float, within: npt.NDArray[np.bool_]) -> dict[str, Any]:
    """Detection, reaction and return. ``within`` says at which rows nothing unasked is too much."""
    codes = [code for code in result.codes if code.confirmed >= start]
    others = {name: _trip(result.record, signal, start) for name, signal in OTHERS.items()}
    seen = [(code.confirmed, code.meaning) for code in codes]
    seen = sorted(seen + [(when, name) for name, when in others.items() if not math.isnan(when)])
    found: dict[str, Any] = {
        "detected_by": seen[0][1] if seen else "",
        "codes": " ".join(code.text for code in codes),
        "reaction": "none",
        **dict.fromkeys(_TIMES[:4], math.nan),
        **{f"{signal.split('.')[0]}_s": others[name] - start for name, signal in OTHERS.items()},
    }
    if not seen:
        return found
    record, when = result.record, seen[0][0]
    after = record.time[: len(within)] >= when
    level = int(record["reaction"][: len(within)][after].max(initial=0.0))
    reaction = _core.reactions()[level]
    fdti = when - start
    found |= {"fdti_s": fdti, "reaction": reaction}
    if not level:
        return found
    low = record["blade.opening"][: len(within)] <= resting + NEAR_DEFAULT
    frti = return_time(record.time[: len(within)][after], (low if reaction in OFF else within)[after])
    found |= {"return_s": frti if reaction in OFF else math.nan, "frti_s": frti, "fhti_s": fdti + frti}
    return found


def _trip(record: Any, signal: str, start: float) -> float:
    """When a signal is first set after the fault [s]; NaN for never, or for no such thing."""
    if signal not in record.names:
        return math.nan
    tripped = record.time[(record[signal] > 0) & (record.time >= start)]
    return float(tripped[0]) if len(tripped) else math.nan


def longest_time(time: npt.NDArray[np.float64], where: npt.NDArray[np.bool_]) -> float:
    """[s] from the first to the last row of the longest stretch at which ``where`` holds."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], where, [False]))))
    first, last = edges[::2], edges[1::2] - 1
    return float((time[last] - time[first]).max()) if len(first) else 0.0


def return_time(time: npt.NDArray[np.float64], safe: npt.NDArray[np.bool_]) -> float:
    """[s] from the first row until ``safe`` holds to the end; NaN when it does not."""
    if not len(safe) or not safe[-1]:
        return math.nan
    unsafe = np.flatnonzero(~safe)
    return float(time[unsafe[-1] + 1] - time[0]) if len(unsafe) else 0.0
