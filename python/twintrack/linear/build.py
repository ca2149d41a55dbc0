# SPDX-License-Identifier: BSD-3-Clause
"""Linear models of the body, the position loop and the whole bench.

The derivatives come from the simulation's own laws on dual numbers
(include/twintrack/analysis/linearise.hpp), at an operating point: angle, motion ("opening", "closing" at a
speed, or "stuck"), temperature of the winding, supply.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from .. import _core
from .system import LinearSystem, Signal, connect

_STATES = (Signal("current", "A"), Signal("angle", "rad"), Signal("speed", "rad/s"), Signal("bristle", "rad"))
_OUTPUTS = (*_STATES[:3], Signal("voltage", "V"))
_TORQUE = Signal("external_torque", "N*m")
_OBSERVED = (
    Signal("set_point_first"),
    Signal("set_point"),
    Signal("integral", "V"),
    Signal("set_point_before", "rad"),
    Signal("observed_angle", "rad"),
    Signal("observed_speed", "rad/s"),
    Signal("observed_load", "V"),
)
_DIFFERENCED = (*_OBSERVED[:3], Signal("error_before", "rad"), Signal("derivative", "V"))


def plant(
    body: Any,
    *,
    angle: float | None = None,
    motion: str = "opening",
    speed: float = 1.0,
    supply: float = 13.5,
    temperature: float | None = None,
    bridge: _core.BridgeParameters | None = None,
) -> LinearSystem:
    """The throttle body about a point; ``body`` is a ``ThrottleBodyParameters`` or its mechanics.

    ``angle`` [rad] (default: half way between the stops), ``speed`` [rad/s] of a sliding blade, ``supply``
    [V], ``temperature`` [°C] of the winding (default: the body's own). Inputs: ``voltage`` at the motor and
    ``external_torque``; with a ``bridge``: ``duty``, ``supply``, ``external_torque``. Outputs: current,
    angle, speed, voltage at the motor. Raises ``InvalidParameter`` beyond the stops, the supply or the
    bridge's current limit.
    """
    mechanics = getattr(body, "mechanics", body)
    if temperature is not None:
        mechanics = mechanics.replace({"motor.temperature": temperature})
    stops = mechanics.stops
    at = 0.5 * (stops.closed_angle + stops.open_angle) if angle is None else angle
    found = _core.linear_plant(
        mechanics,
        bridge or _core.BridgeParameters(),
        angle=at,
        motion=motion,
        speed=speed,
        supply=supply,
        ideal=bridge is None,
    )
    a, b, c, d = found["matrices"]
    current, where, moving, bristle = found["state"]
    point = {"duty": found["duty"], "supply": supply, "current": current, "angle": where, "speed": moving}
    point |= {"bristle": bristle, "voltage": found["duty"] * supply}
    if bridge is None:  # volts at the motor in place of duty and supply
        b = np.column_stack([b[:, 0] / supply, b[:, 2]])
        d = np.column_stack([d[:, 0] / supply, d[:, 2]])
        inputs: tuple[Signal, ...] = (Signal("voltage", "V"), _TORQUE)
    else:
        inputs = (Signal("duty"), Signal("supply", "V"), _TORQUE)
    return LinearSystem(a, b, c, d, _STATES[: len(a)], inputs, _OUTPUTS, 0.0, point)


def loop(
    body: Any,
    *,
    opening: float = 0.5,
    controller: _core.ControllerParameters | None = None,
    hold: float | None = None,
    speed: float = 0.0,
    period: float = 1e-3,
    filter_time: float = 3e-4,
    integral: bool = True,
) -> LinearSystem:
    """The position controller from tick to tick, at an ``opening`` [share of travel].

    ``hold`` [V] is the voltage that holds the blade there (default: the springs' torque alone);
    ``speed`` [rad/s] that of the set point (Coulomb friction is fed forward by it); ``integral``
    ``False``: it stands, as it does within the rest band. Inputs: ``goal`` and ``opening`` as measured;
    outputs: ``voltage`` asked for, ``set_point``.
    """
    mechanics = getattr(body, "mechanics", body)
    settings = controller or _core.ControllerParameters()
    if hold is None:
        stops = mechanics.stops
        angle = stops.closed_angle + opening * (stops.open_angle - stops.closed_angle)
        both = [_core.hold_voltage(mechanics, angle, opening=way) for way in (True, False)]
        hold = 0.5 * sum(both)
    a, b, c, d = _core.linear_loop(
        settings,
        mechanics,
        opening=opening,
        hold=hold,
        speed=speed,
        period=period,
        filter_time=filter_time,
        integral=integral,
    )
    states = _OBSERVED if len(a) == len(_OBSERVED) else _DIFFERENCED
    inputs = (Signal("goal"), Signal("opening"))
    outputs = (Signal("voltage", "V"), Signal("set_point"))
    return LinearSystem(a, b, c, d, states, inputs, outputs, period, {"opening": opening, "hold": hold})


def input_filter(period: float, time: float) -> LinearSystem:
    """The acquisition's filter: the reading of a tick is held since the tick before."""
    share = 1.0 - math.exp(-period / time) if time > 0.0 else 1.0
    one = np.ones((1, 1))
    signals = (Signal("reading"),), (Signal("true"),), (Signal("reading"),)
    return LinearSystem((1.0 - share) * one, share * one, (1.0 - share) * one, share * one, *signals, period)


def bench(
    body: Any,
    *,
    opening: float = 0.5,
    motion: str = "opening",
    speed: float = 1.0,
    supply: float = 13.5,
    temperature: float | None = None,
    bridge: _core.BridgeParameters | None = None,
    controller: _core.ControllerParameters | None = None,
    nominal: Any = None,
    period: float = 1e-3,
    filter_time: float = 3e-4,
    integral: bool = True,
    closed: bool = True,
) -> LinearSystem:
    """Body, bridge, acquisition and controller, sampled at the controller's ticks.

    ``nominal`` is the body the controller was made for (default: ``body``). Inputs: ``demand`` [share of
    travel], ``supply`` [V] (a change that the controller does not see), ``external_torque`` [N·m], ``noise``
    of the reading [share of travel]. Outputs: ``opening``, ``set_point``, ``voltage`` asked for [V],
    ``current`` [A]. With ``closed`` ``False`` the loop is cut at the bridge: input ``voltage`` (in place of
    the controller's), output ``minus_voltage``, what comes back with the sign turned – the open loop L of
    the margins.
    """
    mechanics = getattr(body, "mechanics", body)
    stops = mechanics.stops
    travel = stops.open_angle - stops.closed_angle
    at = stops.closed_angle + opening * travel
    moving = plant(mechanics, angle=at, motion=motion, speed=speed, supply=supply, temperature=temperature,
                   bridge=bridge or _core.BridgeParameters()).sampled(period)  # fmt: skip
    duty = _gain("voltage", "V", "duty", "", 1.0 / supply, period)
    share = _gain("angle", "rad", "opening", "", 1.0 / travel, period)
    along = {"opening": speed, "closing": -speed}.get(motion, 0.0)
    driver = loop(nominal or mechanics, opening=opening, controller=controller, speed=along, period=period,
                  filter_time=filter_time, integral=integral)  # fmt: skip
    parts = {"body": moving, "duty": duty, "share": share, "filter": input_filter(period, filter_time)}
    parts["loop"] = driver
    links = {"body.duty": "duty.duty", "share.angle": "body.angle", "filter.true": "share.opening"}
    links["loop.opening"] = "filter.reading"
    if not closed:
        parts["minus"] = _gain("voltage", "V", "minus_voltage", "V", -1.0, period)
        links["minus.voltage"] = "loop.voltage"
        return connect(parts, links, {"voltage": "duty.voltage"}, {"minus_voltage": "minus.minus_voltage"})
    links["duty.voltage"] = "loop.voltage"
    inputs = {"demand": "loop.goal", "supply": "body.supply", "external_torque": "body.external_torque"}
    outputs = {"opening": "share.opening", "set_point": "loop.set_point", "voltage": "loop.voltage"}
    return connect(parts, links, inputs | {"noise": "filter.true"}, outputs | {"current": "body.current"})


def _gain(into: str, in_unit: str, out: str, out_unit: str, factor: float, period: float) -> LinearSystem:
    none, row, column = np.zeros((0, 0)), np.zeros((1, 0)), np.zeros((0, 1))
    return LinearSystem(
        none,
        column,
        row,
        np.array([[factor]]),
        (),
        (Signal(into, in_unit),),
        (Signal(out, out_unit),),
        period,
    )
