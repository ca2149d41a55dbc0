// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/control/pid.hpp"
#include "twintrack/control/speed_observer.hpp"
#include "twintrack/plant/motor.hpp"
#include "twintrack/plant/spring.hpp"

namespace twintrack::control {

/// The arithmetic of the position loop, on any number type: set-point filter, feed-forward, PID. The controller
/// (controller.hpp, with the equations) runs on it with `double`.
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
    T set_point_step;         ///< largest change of y₁ a tick
    T rest_band, rest_limit;  ///< [rad]
    T push_step;              ///< growth of the push [V] a tick
    T push_decay;             ///< what is left of it after a tick without
    T windup_held;            ///< 1: the integral is held while the voltage is limited; 0: it is tracked
    ObserverCoefficients<T> observer;
};

template <class T>
struct PushState {
    T blade{};  ///< [rad] where the blade began to stand
    T time{};   ///< [s] since then
    T volts{};
};

template <class T>
struct LoopState {
    T entry_opening{};
    T entry_share{};    ///< 0 at the entry … 1
    T first{};          ///< y₁
    T second{};         ///< y₂
    PidState<T> pid{};  ///< with an observer `last_error` is the set point [rad] of the tick before
    T anchor{};         ///< set point [rad] at which the blade came to rest
    ObserverState<T> observer{};
    PushState<T> push{};
};

inline constexpr double friction_speed = 0.05;   ///< ω_ε [rad/s]
inline constexpr double least_supply = 3.0;      ///< [V]; a measurement below it is not used
inline constexpr double standing_share = 0.005;  ///< of travel, within which a blade stands
inline constexpr double standing_time = 0.02;    ///< [s] until a blade stands
inline constexpr double settled_time = 0.3;      ///< [s] after which a standing blade within the rest limit is at rest
inline constexpr double push_time = 0.02;        ///< [s] in which the push dies away
inline constexpr double no_anchor = 1e9;         ///< [rad]

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
    const T last = select(c.observer.on > zero, held * c.travel, error);
    return {held,
            zero,
            held,
            held,
            {-feed_forward(c, held, zero) - c.pid.proportional * error, zero, last},
            T(no_anchor),
            {opening * c.travel, zero, zero},
            {}};
}

/// Moves the set point toward `goal` for a tick; u_ff [V] there.
template <class T>
[[nodiscard]] T follow(const LoopCoefficients<T>& c, LoopState<T>& x, T goal) noexcept {
    x.entry_share = min(x.entry_share + c.entry_step, T(1.0));
    const T target = x.entry_opening + x.entry_share * (goal - x.entry_opening);
    const T before = x.second;
    x.first = x.first + clamp(c.filter_step * (target - x.first), -c.set_point_step, c.set_point_step);
    x.second = x.second + c.filter_step * (x.first - x.second);
    return feed_forward(c, x.second, (x.second - before) * c.travel / c.period);
}

/// The supply [V] that duties are reckoned with.
template <class T>
[[nodiscard]] T believed_supply(const LoopCoefficients<T>& c, T measured) noexcept {
    return select(measured > T(least_supply), measured, c.nominal_supply);
}

/// The loop meets a blade at `opening` again, by another track or after a time without any.
template <class T>
void resume(const LoopCoefficients<T>& c, LoopState<T>& x, T opening) noexcept {
    const T seen = c.observer.on;
    x.pid.last_error = select(seen > T(0.0), x.second, x.second - opening) * c.travel;
    x.observer.angle = opening * c.travel;
}

/// Whether the integral is held: the set point has not left the anchor by more than the rest band, and the error has
/// not left the rest limit since it was within the rest band, or within the rest limit while the blade stood.
template <class T>
[[nodiscard]] auto rests(const LoopCoefficients<T>& c, LoopState<T>& x, T target, T error) noexcept {
    const auto held = (abs(target - x.anchor) <= c.rest_band) & (abs(error) <= c.rest_limit);
    const auto near = (abs(error) <= c.rest_band) | ((abs(error) <= c.rest_limit) & (x.push.time > T(settled_time)));
    const auto within = near & (c.rest_limit > T(0.0));
    x.anchor = select(held, x.anchor, select(within, target, T(no_anchor)));
    return held | within;
}

/// The push [V] against what holds the blade: it grows while the blade stands further from the set point than the rest
/// limit and the voltage is not limited, and dies away as the blade moves. By the measured angle: the observer believes
/// that a blade which is held moves as the voltage asks. Its excess is gone when friction gives way, where an
/// integral's would carry the blade on.
template <class T, class M>
[[nodiscard]] PushState<T> pushed(const LoopCoefficients<T>& c, const PushState<T>& x, T angle, T target,
                                  const M& limited) noexcept {
    const auto stands = abs(angle - x.blade) <= T(standing_share) * c.travel;  // a stop yields a little
    const T time = select(stands & (c.push_step > T(0.0)), x.time + c.period, T(0.0));
    const T error = target - angle;
    const auto off = (abs(error) > c.rest_limit) & (time > T(standing_time));
    const T more = select(limited, x.volts, x.volts + select(error > T(0.0), c.push_step, -c.push_step));
    return {select(stands, x.blade, angle), time, select(off, more, x.volts * c.push_decay)};
}

/// u [V] for a blade at `opening`.
template <class T>
[[nodiscard]] T answer(const LoopCoefficients<T>& c, LoopState<T>& x, T opening, T feed, T limit) noexcept {
    const T zero(0.0);
    const auto observed = c.observer.on > zero;
    const T angle = opening * c.travel, target = x.second * c.travel;
    const ObserverState<T> seen = corrected(c.observer, x.observer, angle);
    const T error = select(observed, target - seen.angle, (x.second - opening) * c.travel);
    const T wanted_speed = (target - x.pid.last_error) / c.period;
    const T derivative =
        select(observed, c.pid.derivative * (wanted_speed - seen.speed), pid_derivative(c.pid, x.pid, error));
    const PidOutput<T> out = pid_step(c.pid, x.pid, error, derivative, feed + x.push.volts, limit);
    const auto limited = abs(out.value) >= min(limit, c.pid.limit);
    const auto held = (c.windup_held > zero) & limited;
    const T integral = select(rests(c, x, target, error) | held, x.pid.integral, out.state.integral);
    x.pid = out.state;
    x.pid.integral = integral;
    x.pid.last_error = select(observed, target, error);
    x.observer = foretold(c.observer, seen, out.value - feed + c.motor.blade_constant * wanted_speed);
    if (any(c.push_step > zero)) x.push = pushed(c, x.push, angle, target, limited);
    return out.value;
}

}  // namespace twintrack::control
