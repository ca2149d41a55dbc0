// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/analysis/linearise.hpp"

#include <cmath>
#include <string>

#include "twintrack/core/dual.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/plant/lift.hpp"

namespace twintrack::analysis {

namespace {

using PlantDual = Dual<7>;  // current, angle, speed, bristle; duty, supply, external torque
using LoopDual = Dual<10>;  // eight of the loop's states; goal, opening

int direction(Motion motion) { return motion == Motion::stuck ? 0 : motion == Motion::opening ? 1 : -1; }

/// Current, speed and bristles at which all forces balance at the point.
plant::State<double> balanced(const plant::Coefficients<double>& c, const OperatingPoint& at) {
    const int way = direction(at.motion);
    const double spring = plant::spring_torque(c.springs, at.angle);
    if (way == 0) return {-spring / c.motor.blade_constant, at.angle, 0.0, 0.0};
    const double speed = way * at.speed;
    // NKi = T ± (1 − η)|NKi|: the gear's loss is friction too, and NKi has the sign of T.
    const double torque = way * plant::friction_level(c.friction, speed, 0.0) + c.friction.viscous * speed - spring;
    const double load = torque / (1.0 - way * c.friction.load_share * (torque < 0.0 ? -1.0 : 1.0));
    const double bristle = c.friction.kind == plant::FrictionKind::bristle
                               ? way * plant::friction_level(c.friction, speed, load) / c.friction.stiffness
                               : 0.0;
    return {load / c.motor.blade_constant, at.angle, speed, bristle};
}

/// The source's voltage that keeps the current; the bridge's resistance depends on the duty itself.
double source_voltage(const plant::Coefficients<double>& c, const plant::BridgeParameters& bridge,
                      const plant::State<double>& x, double supply) {
    const double motor =
        c.motor.resistance * x.current + plant::brush_voltage(c.motor, x.current) + c.motor.blade_constant * x.speed;
    double volts = motor;
    for (int k = 0; k < 50; ++k) volts = motor + plant::driving(bridge, volts / supply, supply).resistance * x.current;
    return volts;
}

void check(const plant::BodyMechanics& body, const OperatingPoint& at) {
    require(at.angle, {body.stops.closed_angle, body.stops.open_angle}, "angle", "rad",
            "blade angle between the stops");
    require(at.supply, {1.0, 36.0}, "supply", "V", "open-circuit supply");
    require(at.speed, {1e-3, 100.0}, "speed", "rad/s", "speed of a sliding blade");
}

void check_reach(const plant::BridgeParameters& bridge, const LinearPlant& p, double supply) {
    if (std::fabs(p.duty) > 1.0)
        throw InvalidParameter("supply", std::to_string(supply) + " V cannot do that; " +
                                             std::to_string(std::fabs(p.duty) * supply) + " V are needed");
    if (std::fabs(p.state.current) > bridge.current_limit)
        throw InvalidParameter("bridge.current_limit", std::to_string(std::fabs(p.state.current)) +
                                                           " A are needed; the limit is " +
                                                           std::to_string(bridge.current_limit) + " A");
}

template <std::size_t N>
void rows(std::vector<double>& state, std::vector<double>& input, const Dual<N>& y, const std::vector<std::size_t>& x,
          const std::vector<std::size_t>& u) {
    for (const std::size_t k : x) state.push_back(y.slope[k]);
    for (const std::size_t k : u) input.push_back(y.slope[k]);
}

template <class T>
control::LoopCoefficients<T> lifted(const control::LoopCoefficients<double>& c, bool integral) {
    const auto& p = c.pid;
    const auto& o = c.observer;
    // Without rest band and dead band the integral works; with a step of zero it is held. The dead band is less than
    // nothing, since at one of zero the law bends where it is differentiated.
    constexpr double no_dead_band = -1e-300;
    return {T(c.period),
            T(c.entry_step),
            T(c.filter_step),
            T(c.travel),
            T(c.closed_angle),
            T(c.nominal_supply),
            T(c.duty_limit),
            T(c.feed_forward),
            plant::lift<T>(c.motor),
            plant::lift<T>(c.springs),
            T(c.coulomb),
            T(c.viscous),
            {T(p.proportional), T(integral ? p.integral_step : 0.0), T(p.derivative_old), T(p.derivative_new),
             T(p.tracking), T(no_dead_band), T(p.limit), T(p.derivative)},
            T(c.set_point_step),
            T(0.0),
            T(0.0),
            T(0.0),
            T(0.0),
            T(c.windup_held),
            {T(o.on), T(o.decay), T(o.angle_of_speed), T(o.angle_of_volts), T(o.speed_of_volts), T(o.angle_gain),
             T(o.speed_gain), T(o.load_gain)}};
}

/// The loop following a set point that moves by `step` a tick [share], seeded: slope k belongs to the k-th of first,
/// second, integral, last, derivative, observed angle, speed, load.
control::LoopState<LoopDual> following(const control::LoopCoefficients<double>& c, double opening, double hold,
                                       double step) {
    using T = LoopDual;
    const double integral = hold - control::feed_forward(c, opening, step * c.travel / c.period);
    const double last = c.observer.on > 0.0 ? opening * c.travel : 0.0;
    control::LoopState<T> x;
    x.entry_opening = T(opening), x.entry_share = T(1.0), x.anchor = T(control::no_anchor);
    x.first = T(opening + step / c.filter_step - step, 0), x.second = T(opening, 1);
    x.pid = {T(integral, 2), T(0.0, 4), T(last, 3)};
    x.observer = {T(opening * c.travel, 5), T(step * c.travel / c.period, 6), T(-integral, 7)};
    return x;
}

}  // namespace

LinearPlant linearise(const plant::BodyMechanics& body, const plant::BridgeParameters& bridge, const OperatingPoint& at,
                      bool ideal) {
    validate(body, "body");
    validate(bridge, "bridge");
    check(body, at);
    plant::BridgeParameters b = bridge;
    if (ideal) b.switch_resistance = b.supply_resistance = 0.0;
    const plant::Coefficients<double> c = plant::coefficients(body);
    LinearPlant out;
    out.state = balanced(c, at);
    out.duty = source_voltage(c, b, out.state, at.supply) / at.supply;
    check_reach(b, out, at.supply);

    using T = PlantDual;
    const plant::State<T> x{{out.state.current, 0}, {out.state.angle, 1}, {out.state.speed, 2}, {out.state.bristle, 3}};
    const plant::Drive<T> drive{plant::driving(b, T(out.duty, 4), T(at.supply, 5)), T(0.0, 6), true};
    const plant::State<T> rate = plant::derivatives(plant::lift<T>(c), drive, x);
    const bool bristles = body.friction.kind == plant::FrictionKind::bristle;
    const std::vector<std::size_t> states =
        bristles ? std::vector<std::size_t>{0, 1, 2, 3} : std::vector<std::size_t>{0, 1, 2};
    const std::vector<std::size_t> inputs{4, 5, 6};
    LinearModel& m = out.model;
    m.states = states.size(), m.inputs = 3, m.outputs = 4;
    for (const T& r : {rate.current, rate.angle, rate.speed}) rows(m.a, m.b, r, states, inputs);
    if (bristles) rows(m.a, m.b, rate.bristle, states, inputs);
    for (const T& y : {x.current, x.angle, x.speed, plant::motor_voltage(drive.terminal, x.current)})
        rows(m.c, m.d, y, states, inputs);
    return out;
}

LinearModel linearise(const control::LoopCoefficients<double>& loop, double opening, double hold, double speed,
                      bool integral) {
    require(opening, {0.0, 1.0}, "opening", "", "share of travel");
    require(hold, {-36.0, 36.0}, "hold", "V", "voltage that holds the blade");
    const double step = speed * loop.period / loop.travel;
    const double most = 0.999 * loop.set_point_step / loop.period * loop.travel;
    require(speed, {-most, most}, "speed", "rad/s", "speed of the set point, within the controller's limit");
    using T = LoopDual;
    const control::LoopCoefficients<T> c = lifted<T>(loop, integral);
    control::LoopState<T> x = following(loop, opening, hold, step);
    const T feed = control::follow(c, x, T(x.first.value + step / loop.filter_step, 8));
    const T volts = control::answer(c, x, T(opening, 9), feed, T(1e9));
    const bool observed = loop.observer.on > 0.0;
    const std::vector<std::size_t> states =
        observed ? std::vector<std::size_t>{0, 1, 2, 3, 5, 6, 7} : std::vector<std::size_t>{0, 1, 2, 3, 4};
    const std::vector<std::size_t> inputs{8, 9};
    LinearModel m;
    m.states = states.size(), m.inputs = 2, m.outputs = 2;
    for (const T& n : {x.first, x.second, x.pid.integral, x.pid.last_error}) rows(m.a, m.b, n, states, inputs);
    if (observed)
        for (const T& n : {x.observer.angle, x.observer.speed, x.observer.load}) rows(m.a, m.b, n, states, inputs);
    else
        rows(m.a, m.b, x.pid.derivative, states, inputs);
    rows(m.c, m.d, volts, states, inputs);
    rows(m.c, m.d, x.second, states, inputs);
    return m;
}

}  // namespace twintrack::analysis
