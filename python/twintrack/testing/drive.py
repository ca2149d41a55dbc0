# SPDX-License-Identifier: BSD-3-Clause
"""A run with assertions on reaction, code, time and blade.

Every assertion returns the drive, so that they can be chained, and on failure says what was found and what is
allowed, above a small picture of the trace. Limits without a source are this bench's own.
"""

from __future__ import annotations

from typing import Any, NoReturn

import numpy as np
import numpy.typing as npt

from .. import _core
from ..designs.audit.judge import longest_time
from .picture import picture

#: A foot that holds still for so long [s] is waited for; looked at is the end of the hold [s].
HOLD, END = 0.8, 0.3


class Drive:
    """What a stroke on a bench gave. ``start`` [s] is when the first fault begins, 0 without one."""

    def __init__(self, run: Any, stroke: _core.Stroke, start: float = 0.0) -> None:
        self.run = run
        self.stroke = stroke
        self.start = start
        self.record = run.record
        self.time: npt.NDArray[np.float64] = run.record.time
        self.blade: npt.NDArray[np.float64] = run.record["blade.opening"]

    def __repr__(self) -> str:
        return f"<Drive: {self.run.outcome.status} at {self.run.outcome.when:g} s>"

    def _fail(self, message: str, at: float | None = None) -> NoReturn:
        __tracebackhide__ = True
        raise AssertionError(f"{message}\n\n{picture(self.record, at)}")

    def completes(self) -> Drive:
        """The controller has answered every tick as it should."""
        __tracebackhide__ = True
        outcome = self.run.outcome
        if not outcome.ok:
            self._fail(f"{outcome.status} at {outcome.when:.3f} s: {outcome.reason}", outcome.when)
        return self

    def sets_no_code(self) -> Drive:
        __tracebackhide__ = True
        if self.run.codes:
            first = self.run.codes[0]
            self._fail(f"sets {first.text} at {first.confirmed:.3f} s; no code is allowed", first.confirmed)
        return self

    def sets_code(self, code: str, within: float) -> Drive:
        """A trouble code, such as "P2135", confirmed at most ``within`` [s] after the fault began."""
        __tracebackhide__ = True
        found = {one.code: one.confirmed for one in reversed(self.run.codes) if one.confirmed >= self.start}
        if code not in found:
            self._fail(f"does not set {code}; it sets {', '.join(found) or 'none'}", self.start)
        if found[code] - self.start > within:
            took = found[code] - self.start
            self._fail(f"sets {code} after {took:.3f} s; allowed: {within:g} s", found[code])
        return self

    def reacts(self, reaction: str, within: float) -> Drive:
        """At least that rung of the ladder (``tt.reactions()``), at most ``within`` [s] after the fault."""
        __tracebackhide__ = True
        rungs = list(_core.reactions())
        if reaction not in rungs:
            raise ValueError(f"reaction {reaction!r}: allowed are {', '.join(rungs)}")
        after = self.time >= self.start
        taken = self.record["reaction"][after]
        reached = np.flatnonzero(taken >= rungs.index(reaction))
        if not len(reached):
            highest = rungs[int(taken.max(initial=0.0))]
            self._fail(f"never reacts with {reaction!r} or more; the most is {highest!r}", self.start)
        took = float(self.time[after][reached[0]]) - self.start
        if took > within:
            self._fail(
                f"reacts with {reaction!r} after {took:.3f} s; allowed: {within:g} s", self.start + took
            )
        return self

    def blade_stays(
        self, least: float = -1.0, most: float = 2.0, since: float = 0.0, until: float = np.inf
    ) -> Drive:
        """The true blade within ``least`` and ``most`` [share of travel] from ``since`` to ``until`` [s]."""
        __tracebackhide__ = True
        looked = (self.time >= since) & (self.time <= until)
        if not looked.any():
            raise ValueError(f"since {since:g} s until {until:g} s: no tick of this run lies there")
        beyond = looked & ~((self.blade >= least) & (self.blade <= most))
        if beyond.any():
            at = int(np.flatnonzero(beyond)[0])
            self._fail(
                f"the blade is at {self.blade[at]:.1%} of travel at {self.time[at]:.3f} s; "
                f"allowed: {least:.1%} to {most:.1%}",
                float(self.time[at]),
            )
        return self

    def follows(
        self, error: float = 0.02, asked: float = 0.05, overshoot: float = 0.08, ripple: float = 0.005
    ) -> Drive:
        """At the end of each hold of the foot the blade stands within ``error`` of the controller's set point
        and ``asked`` of what the pedal map asks for, and swings by no more than ``ripple`` (rms); before
        that it passes the hold by no more than ``overshoot``. All are shares of travel."""
        __tracebackhide__ = True
        for begin, end in self.holds():
            hold, last = self._between(begin, end), self._between(end - END, end)
            goal = self.record["asked"][last].mean()
            self._within("set point − blade", self.record["set_point"][last] - self.blade[last], error, end)
            self._within("asked − blade", self.record["asked"][last] - self.blade[last], asked, end)
            self._within("ripple (rms)", self.blade[last].std(), ripple, end)
            rising = self.blade[hold][0] < goal
            self._within(
                "overshoot", max(0.0, self.blade[hold].max() - goal) if rising else 0.0, overshoot, begin
            )
        return self

    def believes_what_is_so(self, error: float = 0.02, moving: float = 0.05) -> Drive:
        """The opening that the controller reports is the blade's: within ``error`` at the end of each hold,
        and within ``moving`` at every tick from the end of the first hold on."""
        __tracebackhide__ = True
        apart = np.abs(self.record["opening"] - self.blade)
        for _, end in self.holds():
            self._within("believed opening − blade", apart[self._between(end - END, end)], error, end)
        if self.holds():
            since = self.time >= self.holds()[0][1]
            at = float(self.time[since][apart[since].argmax()])
            self._within("believed opening − moving blade", apart[since], moving, at)
        return self

    def stays_beside(self, other: Drive, within: float, since: float = 0.0, until: float = np.inf) -> Drive:
        """The blade within ``within`` [share of travel] of another drive's at the same tick."""
        __tracebackhide__ = True
        n = min(len(self.time), len(other.time))
        looked = (self.time[:n] >= since) & (self.time[:n] <= until)
        apart = np.where(looked, np.abs(self.blade[:n] - other.blade[:n]), 0.0)
        at = int(apart.argmax())
        if apart[at] > within:
            self._fail(
                f"the blade is {apart[at]:.1%} of travel from where it should be at {self.time[at]:.3f} s; "
                f"allowed: {within:.1%}",
                float(self.time[at]),
            )
        return self

    def unasked_time(self, healthy: Drive, limit: float = 0.10) -> float:
        """[s] for which the blade was more than ``limit`` above both what the foot asked for and where it was
        in the drive without the fault (designs/audit/judge.py)."""
        n = min(len(self.time), len(healthy.time))
        unasked = self.blade[:n] - np.maximum(self.record["asked"][:n], healthy.blade[:n])
        return longest_time(self.time[:n], (unasked > limit) & (self.time[:n] >= self.start))

    def holds(self) -> list[tuple[float, float]]:
        """Begin and end [s] of each time for which the foot holds still, as far as the run goes."""
        time, travel = self.stroke.time, self.stroke.travel
        pairs = zip(time, time[1:], travel, travel[1:], strict=False)
        last = float(self.time[-1])
        return [(a, b) for a, b, x, y in pairs if x == y and b - a >= HOLD and b <= last + 1e-9]

    def _between(self, begin: float, end: float) -> npt.NDArray[np.bool_]:
        return (self.time >= begin) & (self.time <= end)

    def _within(self, what: str, value: Any, limit: float, at: float) -> None:
        __tracebackhide__ = True
        worst = float(np.abs(value).max())
        if not worst <= limit:
            self._fail(f"{what}: {worst:.2%} of travel about {at:g} s; allowed: {limit:.2%}", at)
