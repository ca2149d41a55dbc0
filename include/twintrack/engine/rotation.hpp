// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::engine {

/// What brakes and what turns the crankshaft besides the gas.
///
///     J ω̇ = M_i + M_s − (M_p + M_f + M_a) ω/(|ω| + ω_ε) − M_g
///     M_f = c (f₀ + f₁ω + f₂ω²) V_d/(4π),   c = 1 + c₁ max(ϑ_w − ϑ, 0)/100        friction [N·m]
///     M_g = P/η_g · ω/max(ω, ω_g)²                                               generator [N·m]
///     M_s = M_s0 max(1 − ω/ω_s, 0)  while engaged                                starter [N·m], overrunning clutch
///
/// f [Pa, Pa·s/rad, Pa·s²/rad²] friction mean effective pressure (rubbing and auxiliaries, no pumping); ϑ [°C] coolant;
/// P [W] electrical power; M_a [N·m] accessory load on the crank; ω_ε = 0.5 rad/s lets friction die at standstill.
/// Below `stall_speed` nothing burns any more unless the starter turns. Literature: friction polynomial after Heywood,
/// 1988, eq. 13.6 (from memory: 0.97 + 0.15 N/1000 + 0.05 (N/1000)² bar, motored, with pumping); the rest is common
/// practice, no source.
struct RotationParameters {
    double inertia = 0.14;              ///< J [kg·m²]
    double friction_constant = 6.5e4;   ///< f₀ [Pa]
    double friction_linear = 100.0;     ///< f₁ [Pa·s/rad]
    double friction_quadratic = 0.40;   ///< f₂ [Pa·s²/rad²]
    double cold_friction = 1.2;         ///< c₁ [1/100 K]
    double warm_temperature = 85.0;     ///< ϑ_w [°C]
    double generator_efficiency = 0.6;  ///< η_g
    double generator_speed = 50.0;      ///< ω_g [rad/s] below which the generator gives less
    double starter_torque = 110.0;      ///< M_s0 [N·m] at the crank
    double starter_speed = 32.0;        ///< ω_s [rad/s]
    double release_speed = 45.0;        ///< [rad/s] at which the starter lets go: the engine runs
    double stall_speed = 20.0;          ///< [rad/s]
};

[[nodiscard]] const Description& description(Tag<RotationParameters>);

void check(const RotationParameters& p, const std::string& path);

inline constexpr double standstill_speed = 0.5;  ///< ω_ε [rad/s]

template <class T>
struct RotationCoefficients {
    T inverse_inertia;
    T friction[3];      ///< f V_d/(4π) [N·m, …]
    T generator;        ///< 1/η_g
    T generator_speed;  ///< ω_g
    T starter_torque;   ///< M_s0
    T inverse_starter;  ///< 1/ω_s
};

/// `displacement` [m³] turns mean effective pressures into torques.
[[nodiscard]] RotationCoefficients<double> rotation_coefficients(const RotationParameters& p, double displacement);

/// c: what a coolant temperature [°C] multiplies friction by.
[[nodiscard]] double cold_factor(const RotationParameters& p, double coolant) noexcept;

/// ω/(|ω| + ω_ε): the direction that friction opposes.
template <class T>
[[nodiscard]] T turning(T speed) noexcept {
    return speed / (abs(speed) + T(standstill_speed));
}

/// M_f [N·m] without its direction.
template <class T>
[[nodiscard]] T friction_torque(const RotationCoefficients<T>& c, T speed, T cold) noexcept {
    const T pace = abs(speed);
    return cold * (c.friction[0] + (c.friction[1] + c.friction[2] * pace) * pace);
}

/// M_g [N·m] for the electrical power [W].
template <class T>
[[nodiscard]] T generator_torque(const RotationCoefficients<T>& c, T power, T speed) noexcept {
    const T held = max(speed, c.generator_speed);
    return c.generator * power * max(speed, T(0.0)) / (held * held);
}

/// M_s [N·m] while engaged.
template <class T>
[[nodiscard]] T starter_torque(const RotationCoefficients<T>& c, T speed) noexcept {
    return c.starter_torque * clamp(T(1.0) - speed * c.inverse_starter, T(0.0), T(1.0));
}

}  // namespace twintrack::engine
