// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/engine/angle_delay.hpp"
#include "twintrack/engine/model.hpp"

/// One tick of the engine (engine.hpp), on any number type: status, what has been drawn in and burns now, integration.
/// Flags are 0 or 1, a status its number in EngineStatus.
namespace twintrack::engine {

template <class T>
struct StepCoefficients {
    T release_speed, stall_speed;       ///< [rad/s]
    T fuel_delay, spark_delay;          ///< [rad]
    T fuel_least_gap, spark_least_gap;  ///< [rad]
};

[[nodiscard]] StepCoefficients<double> step_coefficients(const EngineParameters& p);

template <class T>
struct EngineState {
    State<T> x;
    T status;
    T flow;  ///< [kg/s] through the throttle at the beginning of the last step
    DelayState<T> fuel, spark;
};

/// Standing, the manifold full of `air`.
template <class Points>
[[nodiscard]] EngineState<double> at_rest(const ManifoldParameters& p, const StepCoefficients<double>& s,
                                          const plant::Air& air, Points& fuel, Points& spark) noexcept {
    return {{air.pressure, p.temperature, 0.0, 0.0},
            0.0,
            0.0,
            begun(fuel, s.fuel_delay, 0.0),
            begun(spark, s.spark_delay, 1.0)};
}

/// The engine's inputs for one tick, as Input; `cold`: factor on friction; `fuel` relative to that of all the air.
template <class T>
struct EngineOrders {
    T area, leak_area, spark_retard, accessory_torque, electrical_power, cold, ignition, starter, fuel;
};

namespace status {

inline constexpr double standing = 0.0, cranking = 1.0, running = 2.0, stalled = 3.0;

template <class T>
[[nodiscard]] auto is(T status, double which) noexcept {
    return (status > T(which - 0.5)) & (status < T(which + 0.5));
}

/// standing → cranking (starter) → running (ω ≥ release_speed) → stalled (ω < stall_speed; standing if key is off)
template <class T>
[[nodiscard]] T next(const StepCoefficients<T>& c, T now, T speed, T ignition, T starter) noexcept {
    const T zero(0.0);
    const auto wanted = (ignition > zero) & (starter > zero);
    const T started = select(wanted, T(cranking), now);
    const T cranked = select(speed < c.release_speed, select(wanted, T(cranking), T(standing)), T(running));
    const T ran = select(speed < c.stall_speed, select(ignition > zero, T(stalled), T(standing)), now);
    return select(is(now, running), ran, select(is(now, cranking), cranked, started));
}

}  // namespace status

/// Advances by `span` [s]; returns what acted.
template <class T, class Points>
Drive<T> step(const Coefficients<T>& c, const StepCoefficients<T>& s, const plant::GasState<T>& air, EngineState<T>& e,
              Points& fuel, Points& spark, const EngineOrders<T>& in, T span) noexcept {
    const T zero(0.0), one(1.0);
    e.status = status::next(s, e.status, e.x.speed, in.ignition, in.starter);
    const auto cranks = status::is(e.status, status::cranking);
    const auto burns = (in.ignition > zero) & (cranks | status::is(e.status, status::running));
    Drive<T> d{
        in.area,     air, zero, zero, in.cold, in.accessory_torque, in.electrical_power, select(cranks, one, zero),
        in.leak_area};
    const Flows<T> f = flows(c, d, e.x);
    const T openings = in.area + in.leak_area;
    e.flow = select(openings > zero, f.in * (in.area / openings), zero);
    const T drawn = select(burns & (in.fuel > zero), f.charge * c.cylinders.fuel_per_air * in.fuel, zero);
    write(e.fuel, fuel, s.fuel_least_gap, e.x.angle, drawn);
    write(e.spark, spark, s.spark_least_gap, e.x.angle, spark_efficiency(c.cylinders, in.spark_retard));
    const T middle = e.x.angle + T(0.5) * span * e.x.speed;
    const T burning = read(e.fuel, fuel, s.fuel_delay, middle);
    d.fuel = select(burns, burning, zero);
    d.spark = read(e.spark, spark, s.spark_delay, middle);
    e.x = advance(c, d, e.x, f, span);
    e.x.speed = max(e.x.speed, zero);
    return d;
}

}  // namespace twintrack::engine
