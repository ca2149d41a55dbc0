// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/angle.hpp"
#include "twintrack/core/described.hpp"
#include "twintrack/core/logarithm.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/plant/atmosphere.hpp"

namespace twintrack::engine {

/// Four-stroke cylinders as a mean over the cycle: what they breathe and the torque of what they burn.
///
///     λ(p) = 1 + (1 − (p_e/p)^(1/κ))/(ε − 1)                           residual gas expands before fresh gas enters
///     q    = a λ(p)(γ₀ + γ₁ω + γ₂ω²) p V_d/(4π R T)                    air per crank angle [kg/rad]; ṁ = q ω
///     M_i  = (η₀ + η₁ω)(1 − k ζ²) H q_f(φ − Δ)                         indicated torque [N·m], gross; q_f = q/σ
///     M_p  = (p_e − p) V_d/(4π)                                        pumping torque [N·m]
///
/// p, T manifold pressure [Pa] and gas temperature [K], p_e exhaust pressure (ambient: no back pressure at idle), ω
/// [rad/s], φ [rad] crank angle, ζ [rad] spark retard from best torque. The charge burns the delay angle Δ after it
/// was drawn in; the spark acts after one segment, 2π/count. a = 1/(1 + 1/σ) when fuel vapour takes its place in the
/// intake (port injection), 1 otherwise. λ, the brackets and M_i never fall below zero. Literature: Guzzella & Onder
/// 2010, ch. 2 and idle-speed case study (structure as in students' files of the course Engine Systems, ETH Zürich).
struct CylinderParameters {
    int count = 4;
    double displacement = 1.5e-3;        ///< V_d [m³], all cylinders
    double compression_ratio = 10.5;     ///< ε
    double filling_constant = 0.90;      ///< γ₀
    double filling_linear = 5.0e-4;      ///< γ₁ [s/rad]
    double filling_quadratic = -7.0e-7;  ///< γ₂ [s²/rad²]
    double air_share = 0.936;            ///< a
    double efficiency_constant = 0.36;   ///< η₀
    double efficiency_linear = 0.0;      ///< η₁ [s/rad]
    double spark_loss = 0.7664;          ///< k [1/rad²]
    double delay_angle = 2.0 * pi;       ///< Δ [rad]
    double air_fuel_ratio = 14.7;        ///< σ
    double heating_value = 42.5e6;       ///< H [J/kg]
};

[[nodiscard]] const Description& description(Tag<CylinderParameters>);

inline constexpr double compression_exponent = 1.35;  ///< κ

template <class T>
struct CylinderCoefficients {
    T clearance;                               ///< 1/(ε − 1)
    T filling[3];                              ///< γ
    T charge;                                  ///< a V_d/(4π R) [m³·kg·K/J]
    T torque_area;                             ///< V_d/(4π) [m³]
    T efficiency_constant, efficiency_linear;  ///< η
    T spark_loss;                              ///< k
    T fuel_per_air;                            ///< 1/σ
    T heating_value;                           ///< H
};

[[nodiscard]] CylinderCoefficients<double> cylinder_coefficients(const CylinderParameters& p);

/// λ(p)(γ₀ + γ₁ω + γ₂ω²): volume drawn in over swept volume.
template <class T>
[[nodiscard]] T filling(const CylinderCoefficients<T>& c, T pressure, T exhaust, T speed) noexcept {
    const T zero(0.0), one(1.0);
    const T residual = power(exhaust / pressure, T(1.0 / compression_exponent));
    const T by_pressure = max(one + c.clearance * (one - residual), zero);
    return by_pressure * max(c.filling[0] + (c.filling[1] + c.filling[2] * speed) * speed, zero);
}

/// q [kg/rad] of air.
template <class T>
[[nodiscard]] T charge_per_radian(const CylinderCoefficients<T>& c, T pressure, T temperature, T exhaust,
                                  T speed) noexcept {
    return c.charge * filling(c, pressure, exhaust, speed) * pressure / temperature;
}

/// 1 − k ζ².
template <class T>
[[nodiscard]] T spark_efficiency(const CylinderCoefficients<T>& c, T retard) noexcept {
    return max(T(1.0) - c.spark_loss * retard * retard, T(0.0));
}

/// M_i [N·m] from the fuel per crank angle that burns now [kg/rad].
template <class T>
[[nodiscard]] T indicated_torque(const CylinderCoefficients<T>& c, T fuel, T spark, T speed) noexcept {
    return max(c.efficiency_constant + c.efficiency_linear * speed, T(0.0)) * spark * c.heating_value * fuel;
}

/// M_p [N·m].
template <class T>
[[nodiscard]] T pumping_torque(const CylinderCoefficients<T>& c, T pressure, T exhaust) noexcept {
    return c.torque_area * (exhaust - pressure);
}

}  // namespace twintrack::engine
