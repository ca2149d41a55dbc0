# SPDX-License-Identifier: BSD-3-Clause
"""A bench with sliders, for notebooks: every change runs it again and shows the block picture and the curves.

Needs ipywidgets (``pip install 'twintrack[notebook]'``).
"""

from __future__ import annotations

from typing import Any

from .. import _core
from ..errors import InputError
from ..pages.cards import codes_table, text
from .diagram import diagram
from .zoom import page_of

#: When the chosen fault begins, and when the run ends [s].
FAULT_AT, END = 3.0, 6.0
_NONE = "none"
#: Beyond these amounts nothing new is to be learned by a slider.
_MOST_AMOUNT = {"offset": 0.5, "gain": 3.0, "torque": 2.0, "noise": 0.1, "lag": 2.0}


def live(parameters: _core.BenchParameters, learned: _core.LearnedRange | None) -> Live:
    """The sliders. Raises :class:`InputError` where ipywidgets is not installed."""
    try:
        import ipywidgets
    except ImportError as error:
        raise InputError(
            "live() needs the package ipywidgets, which is not installed: pip install 'twintrack[notebook]'"
        ) from error
    return Live(parameters, learned, ipywidgets)


class Live:
    """``sliders`` by name; ``run`` is the latest run, ``None`` while the settings are refused."""

    def __init__(
        self, parameters: _core.BenchParameters, learned: _core.LearnedRange | None, widgets: Any
    ) -> None:
        self._parameters, self._learned = parameters, learned
        self._faults = _faults(parameters)
        self.run: LiveRun | None = None
        self.sliders = _sliders(widgets, parameters, self._faults)
        self._message, self._picture, self._curves = (widgets.HTML() for _ in range(3))
        controls = widgets.GridBox(
            list(self.sliders.values()),
            layout=widgets.Layout(grid_template_columns="repeat(auto-fill, minmax(330px, 1fr))"),
        )
        self.widget = widgets.VBox([controls, self._message, self._picture, self._curves])
        self._fit_amount()
        self.sliders["fault"].observe(self._fit_amount, names="value")  # before the run that follows
        for name, slider in self.sliders.items():
            slider.observe(self._show if name == "instant" else self._again, names="value")
        self._again()

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)

    def __repr__(self) -> str:
        return "<sliders of a bench; a notebook shows them>"

    def _value(self, name: str) -> Any:
        return self.sliders[name].value

    def _fit_amount(self, _: Any = None) -> None:
        """The amount's slider gets the range of the chosen fault."""
        slider, kind = self.sliders["amount"], self._faults.get(self._value("fault"))
        slider.disabled = kind is None or kind.least == kind.most
        if kind is not None and not slider.disabled:
            most = min(kind.most, _MOST_AMOUNT.get(kind.what, kind.most))
            least = max(kind.least, -most)
            # Both ends at once would pass through a state in which the lower one is the higher.
            slider.min, slider.max = min(slider.min, least), max(slider.max, most)
            slider.value = least + 0.6 * (most - least)
            slider.min, slider.max, slider.step = least, most, (most - least) / 100

    def settings(self) -> tuple[_core.BenchParameters, _core.Stroke, list[_core.Fault]]:
        """Parameters, stroke and faults that the sliders stand for; raises for what cannot be."""
        p, body = self._parameters, self._parameters.body.mechanics
        gains = _core.loop_gains(p.controller, body, p.control_period, p.acquisition.filter_time)
        friction = self._value("friction")
        changes = {
            "supply": self._value("supply"),
            "controller.feed_forward": self._value("feed-forward"),
            "body.mechanics.motor.temperature": self._value("temperature"),
            "body.mechanics.friction.coulomb": friction * body.friction.coulomb,
            "body.mechanics.friction.breakaway": friction * body.friction.breakaway,
        }
        for name in ("proportional", "integral", "derivative"):
            if self._value(name) != 1.0:
                changes[f"controller.{name}"] = self._value(name) * gains[name]
        pedal = self._value("pedal")
        stroke = _core.Stroke(time=[0.0, 1.0, 1.3, END], travel=[0.0, 0.0, pedal, pedal])
        kind = self._faults.get(self._value("fault"))
        amount = 0.0 if self.sliders["amount"].disabled else self._value("amount")
        faults = (
            [_core.Fault(where=kind.where, what=kind.what, amount=amount, start=FAULT_AT)] if kind else []
        )
        return p.replace(changes), stroke, faults

    def _again(self, _: Any = None) -> None:
        try:
            parameters, stroke, faults = self.settings()
            self.run = LiveRun(
                _core.run(parameters, stroke, learned=self._learned, faults=faults), parameters, faults
            )
        except _core.InvalidParameter as error:
            self.run = None
            self._message.value = text(f"These settings cannot be run: {error}")
            self._picture.value = self._curves.value = ""
            return
        codes = self.run.codes
        self._message.value = codes_table(codes) if codes else text("No trouble code is set.")
        self._curves.value = page_of(self.run.record, [(c.confirmed, c.code) for c in codes], "run").html
        self._show()

    def _show(self, _: Any = None) -> None:
        if self.run is not None:
            drawn = diagram(self.run.parameters, self._learned, self.run, self._value("instant"))
            self._picture.value = drawn.svg


class LiveRun:
    """A run with the parameters and faults that it was made with."""

    def __init__(self, core: _core.Run, parameters: _core.BenchParameters, faults: list[_core.Fault]) -> None:
        self.parameters, self.faults = parameters, faults
        self.record, self.codes, self.outcome = core.record, core.codes, core.outcome


def _faults(parameters: _core.BenchParameters) -> dict[str, _core.FaultKind]:
    """The faults of the catalogue that this bench can have, by name."""
    found = {}
    for kind in _core.fault_catalogue():
        amount = 0.5 * (kind.least + kind.most)
        try:
            fault = _core.Fault(where=kind.where, what=kind.what, amount=amount, start=FAULT_AT)
            _core.check_faults([fault], parameters, duration=END)
        except _core.InvalidParameter:
            continue
        found[f"{kind.where}: {kind.what.replace('_', ' ')}"] = kind
    return found


def _sliders(
    widgets: Any, parameters: _core.BenchParameters, faults: dict[str, _core.FaultKind]
) -> dict[str, Any]:
    style, layout = {"description_width": "125px"}, widgets.Layout(width="330px")

    def slider(text: str, least: float, most: float, value: float, step: float, form: str = ".2f") -> Any:
        return widgets.FloatSlider(
            value=value,
            min=least,
            max=most,
            step=step,
            description=text,
            readout_format=form,
            continuous_update=False,
            style=style,
            layout=layout,
        )

    at = parameters.body.mechanics.motor.temperature
    return {
        "pedal": slider("foot holds", 0.0, 1.0, 0.4, 0.01, ".0%"),
        "supply": slider("supply [V]", 6.0, 16.0, min(max(parameters.supply, 6.0), 16.0), 0.1, ".1f"),
        "temperature": slider("winding [°C]", -40.0, 150.0, min(max(at, -40.0), 150.0), 5.0, ".0f"),
        "friction": slider("friction, factor", 0.1, 4.0, 1.0, 0.1),
        "proportional": slider("proportional, factor", 0.1, 3.0, 1.0, 0.1),
        "integral": slider("integral, factor", 0.0, 3.0, 1.0, 0.1),
        "derivative": slider("derivative, factor", 0.0, 3.0, 1.0, 0.1),
        "feed-forward": widgets.Checkbox(
            value=parameters.controller.feed_forward,
            description="feed-forward",
            style=style,
            layout=layout,
        ),
        "fault": widgets.Dropdown(
            options=[_NONE, *faults],
            value=_NONE,
            description=f"fault from {FAULT_AT:g} s",
            style=style,
            layout=layout,
        ),
        "amount": slider("its amount", -1.0, 1.0, 0.0, 0.01),
        "instant": slider("picture at [s]", 0.0, END, END, 0.01),
    }
