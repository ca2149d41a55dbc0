// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/control/pid.hpp"
#include "twintrack/plant/motor.hpp"
#include "twintrack/plant/spring.hpp"

namespace twintrack::control {

/// The arithmetic of the position loop, on any number type: set-point filter, feed-forward, PID. The controller
/// (controller.hpp, where the equations stand) runs on it with `double`.
template <class T>
struct LoopCoefficients {
    T period;          ///< h [s]
    T entry_step;      ///< share of the entry made per tick
    T filter_step;     ///< α
    T travel;          ///< Θ [rad]
    T closed_angle;    ///< [rad]
    T nominal_supply;  ///< [V]
    T duty_limit;
    T feed_forward;  ///< 1, or 0 without
    plant::MotorCoefficients<T> motor;
    plant::SpringCoefficients<T> springs;
    T coulomb, viscous;  ///< of the friction, [N·m] and [N·m·s/rad]
    PidCoefficients<T> pid;
};

template <class T>
struct LoopState {
    T entry_opening{};
    T entry_share{};  ///< 0 at the entry … 1
    T first{};        ///< y₁
    T second{};       ///< y₂
    PidState<T> pid{};
};

inline constexpr double friction_speed = 0.05;  ///< ω_ε [rad/s]
inline constexpr double least_supply = 3.0;     ///< [V]; a measurement below it is not believed

/// u_ff [V] at `set_point` [share of travel] moving with `speed` [rad/s].
template <class T>
[[nodiscard]] T feed_forward(const LoopCoefficients<T>& c, T set_point, T speed) noexcept {
    const T zero(0.0);
    const T angle = c.closed_angle + set_point * c.travel;
    const T friction = c.coulomb * speed / (abs(speed) + T(friction_speed));
    const T torque = friction + c.viscous * speed - plant::spring_torque(c.springs, angle);
    const T current = torque / c.motor.blade_constant;
    const T volts =
        c.motor.resistance * current + plant::brush_voltage(c.motor, current) + c.motor.blade_constant * speed;
    return select(c.feed_forward > zero, volts, zero);
}

/// The loop as it starts at the blade's own `opening` with no voltage.
template <class T>
[[nodiscard]] LoopState<T> entered(const LoopCoefficients<T>& c, T opening) noexcept {
    const T zero(0.0);
    const T held = clamp(opening, zero, T(1.0));
    const T error = (held - opening) * c.travel;
    return {held, zero, held, held, {-feed_forward(c, held, zero) - c.pid.proportional * error, zero, error}};
}

/// Moves the set point toward `goal` for a tick; u_ff [V] there.
template <class T>
[[nodiscard]] T follow(const LoopCoefficients<T>& c, LoopState<T>& x, T goal) noexcept {
    x.entry_share = min(x.entry_share + c.entry_step, T(1.0));
    const T target = x.entry_opening + x.entry_share * (goal - x.entry_opening);
    const T before = x.second;
    x.first = x.first + c.filter_step * (target - x.first);
    x.second = x.second + c.filter_step * (x.first - x.second);
    return feed_forward(c, x.second, (x.second - before) * c.travel / c.period);
}

/// The supply [V] that duties are reckoned with.
template <class T>
[[nodiscard]] T believed_supply(const LoopCoefficients<T>& c, T measured) noexcept {
    return select(measured > T(least_supply), measured, c.nominal_supply);
}

/// u [V] for a blade at `opening`.
template <class T>
[[nodiscard]] T answer(const LoopCoefficients<T>& c, LoopState<T>& x, T opening, T feed, T limit) noexcept {
    const PidOutput<T> out = pid_step(c.pid, x.pid, (x.second - opening) * c.travel, feed, limit);
    x.pid = out.state;
    return out.value;
}

}  // namespace twintrack::control
