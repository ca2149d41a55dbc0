// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::plant {

/// Brushed DC motor behind a reduction gear, referred to the blade shaft.
///
///     L di/dt = u − R(T) i − U_b i/(|i| + i_b) − N K ω          N = gear ratio (motor/blade)
///     τ = N K i                                                  torque on the blade shaft, opening positive
///     R(T) = R₂₀ (1 + 0.00393 (T − 20))
///
/// i [A] positive when it opens; u [V] at the terminals; ω [rad/s] of the blade. The brush drop U_b is smoothed over
/// i_b = 0.05 A. The gear's losses are friction that grows with the load: see friction.hpp.
/// Literature: Isermann 2017 §7.1.2; copper coefficient: IEC 60028 (value as commonly listed).
struct MotorParameters {
    double resistance = 1.8;       ///< R₂₀ [Ω]
    double inductance = 1.2e-3;    ///< L [H]
    double constant = 0.018;       ///< K [V·s/rad] = [N·m/A], of the motor shaft
    double brush_drop = 0.0;       ///< U_b [V]
    double temperature = 20.0;     ///< T [°C] of the winding
    double gear_ratio = 18.0;      ///< N
    double gear_efficiency = 1.0;  ///< η
};

[[nodiscard]] const Description& description(Tag<MotorParameters>);

/// What the law needs, per case or per lane.
template <class T>
struct MotorCoefficients {
    T resistance;          ///< [Ω] at temperature
    T inverse_inductance;  ///< [1/H]
    T blade_constant;      ///< N K [N·m/A] at the blade
    T brush_drop;          ///< [V]
};

[[nodiscard]] MotorCoefficients<double> motor_coefficients(const MotorParameters& p);

inline constexpr double brush_smoothing = 0.05;  ///< i_b [A]

template <class T>
[[nodiscard]] T brush_voltage(const MotorCoefficients<T>& c, T current) noexcept {
    return c.brush_drop * current / (abs(current) + brush_smoothing);
}

/// di/dt [A/s] for the terminal voltage `u`.
template <class T>
[[nodiscard]] T current_rate(const MotorCoefficients<T>& c, T u, T current, T speed) noexcept {
    return (u - c.resistance * current - brush_voltage(c, current) - c.blade_constant * speed) * c.inverse_inductance;
}

}  // namespace twintrack::plant
