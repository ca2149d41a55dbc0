// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/number.hpp"

namespace twintrack::control {

/// Observer of blade angle, blade speed and load, from the measured angle and the voltage at the motor.
///
///     dθ/dt = ω,  T_m dω/dt = −ω + K_v (u + d),  dd/dt = 0       exact over a period h, e = exp(−h/T_m):
///     θ⁺ = θ + T_m (1 − e) ω + K_v (h − T_m (1 − e)) (u + d),   ω⁺ = e ω + (1 − e) K_v (u + d),   d⁺ = d
///     at each tick first:  θ̂ = θ⁻ + l₁ r,  ω̂ = ω⁻ + l₂ r,  d̂ = d⁻ + l₃ r,   r = θ_measured − θ⁻
///
/// d [V] is what springs and friction take of the voltage. The error decays with exp(−p h) (twice, pole p of angle and
/// speed) and exp(−p_d h) (pole of the load) per period; gains by pole placement, in closed form.
/// Literature: Luenberger, "An introduction to observers", IEEE Trans. Autom. Control 16(6), 1971; current form:
/// Franklin, Powell, Workman, Digital Control of Dynamic Systems, ch. 8 (both from memory).
template <class T>
struct ObserverCoefficients {
    T on;                              ///< 1; 0: without, the derivative is differenced
    T decay;                           ///< e
    T angle_of_speed, angle_of_volts;  ///< T_m (1 − e), K_v (h − T_m (1 − e))
    T speed_of_volts;                  ///< (1 − e) K_v
    T angle_gain, speed_gain, load_gain;
};

template <class T>
struct ObserverState {
    T angle{};  ///< [rad] foretold for the tick that is due, as speed and load
    T speed{};  ///< [rad/s]
    T load{};   ///< d [V]
};

/// `velocity_gain` K_v [rad/(V·s)], `motor_time` T_m [s], `period` h [s], poles [1/s].
[[nodiscard]] ObserverCoefficients<double> observer_coefficients(double velocity_gain, double motor_time, double period,
                                                                 double pole, double load_pole);

/// The state with the measured `angle` taken into account.
template <class T>
[[nodiscard]] ObserverState<T> corrected(const ObserverCoefficients<T>& c, const ObserverState<T>& x,
                                         T angle) noexcept {
    const T rest = angle - x.angle;
    return {x.angle + c.angle_gain * rest, x.speed + c.speed_gain * rest, x.load + c.load_gain * rest};
}

/// The state a period later under `volts`.
template <class T>
[[nodiscard]] ObserverState<T> foretold(const ObserverCoefficients<T>& c, const ObserverState<T>& x, T volts) noexcept {
    const T drive = volts + x.load;
    return {x.angle + c.angle_of_speed * x.speed + c.angle_of_volts * drive,
            c.decay * x.speed + c.speed_of_volts * drive, x.load};
}

}  // namespace twintrack::control
