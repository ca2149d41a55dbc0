# SPDX-License-Identifier: BSD-3-Clause
"""The class ``Bench``: a pedal and a throttle body by name, a range learn, runs and their plots."""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from . import _core
from .pages.cards import Codes
from .parts import catalogue as parts
from .parts import engines as engine_parts
from .wirings.wiring import Wiring

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.figure import Figure

    from .notebook.live import Live
    from .pages.block_picture import Diagram


class BenchRun:
    """What a run or a learn gave; every attribute of the core's result is here too.

    ``record["blade.opening"]`` and the like are arrays over ``record.time`` [s].
    """

    def __init__(
        self, core: _core.Run | _core.LearnRun, title: str, faults: Sequence[_core.Fault] = ()
    ) -> None:
        self._core = core
        self._title = title
        #: The faults it was run with.
        self.faults = list(faults)

    def __getattr__(self, name: str) -> Any:
        return getattr(object.__getattribute__(self, "_core"), name)

    def __repr__(self) -> str:
        if isinstance(self._core, _core.LearnRun):
            learned = "accepted" if self.accepted else f"refused ({self.refusal})"
            return f"<{self._title}: {learned} at {self.outcome.when:g} s>"
        return f"<{self._title}: {self.outcome.status} at {self.outcome.when:g} s>"

    def _repr_html_(self) -> str:
        """For notebooks: how it ended, the trouble codes, and curves that zoom."""
        from .notebook.run_card import run_card

        return run_card(self)

    @property
    def title(self) -> str:
        """What was run."""
        return self._title

    @property
    def codes(self) -> Codes:
        """Trouble codes in the order in which they were set; of a learn none."""
        return Codes(getattr(self._core, "codes", []))

    @property
    def events(self) -> list[_core.TroubleCode]:
        """What is no trouble code: a stalled engine, trips of function monitor and device."""
        if isinstance(self._core, _core.LearnRun):
            return []
        return [entry.code for entry in self._core.history.entries() if not entry.code.failure_type]

    def to_pandas(self) -> pd.DataFrame:
        """One column a signal, indexed by time in seconds; ``attrs["units"]`` holds the units."""
        from .files.traces import to_pandas

        return to_pandas(self.record)

    def plot(self) -> Figure:
        """Openings, tracks, duty and current over time as a figure; of a learn its steps by name.

        A notebook shows it with curves that zoom.
        """
        import matplotlib.pyplot as plt

        from .notebook.figure import ZoomFigure
        from .notebook.zoom import zoom_page
        from .pages.plot import Mark, run_plot

        def made(high: float) -> ZoomFigure:
            figure = plt.figure(FigureClass=ZoomFigure, figsize=(9.6, high), layout="constrained")
            assert isinstance(figure, ZoomFigure)
            figure.page = partial(zoom_page, self)
            return figure

        if isinstance(self._core, _core.LearnRun):
            from .pages.procedure_plot import procedure_plot

            return procedure_plot(
                self.to_pandas(), self.state, title=self._title, reason=self.reason, figure=made(9.0)
            )

        marks = [Mark(code.confirmed, code.text) for code in [*self._core.codes, *self.events]]
        return run_plot(self.to_pandas(), title=self._title, marks=marks, figure=made(8.2))


class Bench:
    """Pedal, wiring, controller and throttle body, put together.

    ``pedal`` and ``body`` are names of built-in parts or parameter values, and so is ``engine``, without
    which nothing draws air through the bore; every other field of :class:`BenchParameters` is a keyword
    (``supply=12.6`` in volts, ``seed=1``, …). Nothing is learned at first, so the controller does not
    answer: call :meth:`learn`.

    Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real
    throttle: engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
    """

    def __init__(
        self,
        *,
        pedal: str | _core.PedalParameters,
        body: str | _core.ThrottleBodyParameters,
        engine: str | _core.EngineSetup | None = None,
        **fields: Any,
    ) -> None:
        self.parameters = _core.BenchParameters(
            pedal=parts.pedal(pedal) if isinstance(pedal, str) else pedal,
            body=parts.body(body) if isinstance(body, str) else body,
            engine=engine_parts.engine(engine) if isinstance(engine, str) else engine,
            **fields,
        )
        #: The wiring, to be printed, tabulated and drawn.
        self.wiring = Wiring(self.parameters)
        for remark in self.wiring.remarks:
            warnings.warn(f"pin-out: {remark}", stacklevel=2)
        #: What the controller knows of the ranges; ``None`` before the first accepted learn.
        self.learned: _core.LearnedRange | None = None

    def __repr__(self) -> str:
        state = "learned" if self.learned else "not learned"
        return f"<Bench: {self.parameters.pedal.name} with {self.parameters.body.name}, {state}>"

    def _repr_html_(self) -> str:
        """For notebooks: the block picture."""
        from .pages.cards import card, text

        state = "range learned" if self.learned else "nothing learned yet: call learn()"
        return card("Bench", text(state, soft=True), self.diagram().svg)

    def learn(
        self,
        stroke: _core.Stroke | None = None,
        faults: Sequence[_core.Fault] = (),
        *,
        disturbances: Sequence[_core.LearnDisturbance | str] = (),
        strictness: str | None = None,
        unit: Any = None,
    ) -> BenchRun:
        """Runs the range learn; the range is kept when it is accepted, else the old one stays in force.

        ``stroke`` defaults to two full presses. ``disturbances``: :class:`LearnDisturbance` values or names
        (``tt.disturbance_catalogue()``). ``strictness``: ``"strict"``, ``"default"`` or ``"careless"``
        in place of the bench's own learn settings. ``unit``: a learn of one's own, an object with
        ``step(ControlInput)`` to a ``Command`` or a :class:`LearnAnswer`, or a factory ``(range learned
        before or None, bench, period)`` of one.

        Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real
        throttle: engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
        """
        result = _core.learn(
            self.parameters,
            stroke,
            faults=list(faults),
            disturbances=list(disturbances),
            previous=self.learned,
            strictness=strictness,
            unit=unit,
        )
        if result.accepted:
            self.learned = result.range
        return BenchRun(result, f"Range learn: {self.parameters.pedal.name} with {self.parameters.body.name}")

    def run(
        self,
        stroke: _core.Stroke | None = None,
        duration: float | None = None,
        faults: Sequence[_core.Fault] = (),
        controller: Any = None,
        monitor: Any = None,
    ) -> BenchRun:
        """Runs one stroke (default: rest, half, full, rest) for ``duration`` seconds (default: the stroke's).

        ``controller`` replaces the built-in controller by any object with ``step(ControlInput) -> Command``,
        ``monitor`` the built-in monitor by one with ``step(ControlInput, Command of the tick before)`` to a
        :class:`MonitorAnswer`. Each may be a factory ``(learned, bench, period)`` of one; it is called again
        after each reset of the controller, whereas an object goes on as it is.
        """
        stroke = _core.Stroke.rest_half_full_rest() if stroke is None else stroke
        result = _core.run(
            self.parameters,
            stroke,
            duration,
            learned=self.learned,
            faults=list(faults),
            controller=controller,
            monitor=monitor,
        )
        return BenchRun(result, f"{self.parameters.pedal.name} with {self.parameters.body.name}", faults)

    def diagram(self, run: BenchRun | _core.Session | None = None, at: float | None = None) -> Diagram:
        """The bench as blocks and arrows, from the foot to the blade and back, as an SVG drawing.

        With a ``run`` (or a session) each block shows its values at the recorded tick nearest to ``at`` [s]
        (default: the last), faults that are active there are marked, and codes set by then are listed.
        ``.save("bench.svg")`` writes it. Raises :class:`InputError` for an instant outside the run.
        """
        from .notebook.diagram import diagram

        return diagram(self.parameters, self.learned, run, at)

    def live(self) -> Live:
        """The bench with sliders in a notebook: pedal, supply, friction, gains, a fault.

        Every change runs it again, from key-on for 6 s, with the range it has learned now, and shows the
        block picture and the curves. Needs ipywidgets
        (``pip install 'twintrack[notebook]'``); raises :class:`InputError` where that is not installed.
        """
        from .notebook.live import live

        return live(self.parameters, self.learned)

    def session(
        self,
        stroke: _core.Stroke | None = None,
        faults: Sequence[_core.Fault] = (),
        controller: Any = None,
        monitor: Any = None,
        brake: _core.Stroke | None = None,
    ) -> _core.Session:
        """The same bench to be stepped tick by tick; foot, brake and faults can be moved meanwhile.

        ``session.step(pedal=0.3)`` holds the foot; ``session.inject(fault)`` and
        ``session.remove(where, what)`` act from the next tick on; ``session.fork()`` is a second session that
        goes on by itself.
        """
        stroke = _core.Stroke.rest_half_full_rest() if stroke is None else stroke
        return _core.Session(
            self.parameters,
            stroke,
            learned=self.learned,
            faults=list(faults),
            controller=controller,
            monitor=monitor,
            brake=brake,
        )

    def plant(self, faults: Sequence[_core.Fault] = ()) -> _core.Plant:
        """Pedal, wiring, converter, bridge and body without controller and monitor: duty in, readings out."""
        return _core.Plant(self.parameters, faults=list(faults))
