// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/plant/atmosphere.hpp"

namespace twintrack::engine {

enum class ManifoldKind { isothermal, adiabatic };

constexpr std::array<std::pair<ManifoldKind, const char*>, 2> names(Tag<ManifoldKind>) {
    return {{{ManifoldKind::isothermal, "isothermal"}, {ManifoldKind::adiabatic, "adiabatic"}}};
}

/// The intake manifold as one volume of ideal gas that fills through the throttle and empties into the cylinders.
///
///     isothermal:  ṗ = (R T/V)(ṁ_in − ṁ_out),   T = T_w
///     adiabatic:   ṗ = (R/(V c_v)) Ė,   Ṫ = (R T/(p V c_v)) (Ė − c_v T (ṁ_in − ṁ_out))
///                  Ė = c_p (ṁ_in T_in − ṁ_out T) + k (T_w − T)
///
/// p [Pa], T [K] of the gas; V [m³]; ṁ [kg/s], inflow positive; T_in [K] of what flows in: outside air, or the
/// manifold's own gas when it flows back; k [W/K] and T_w [K] of the wall. With k = 0 it is adiabatic in the strict
/// sense; a large k gives the isothermal manifold. Pressure uniform: no waves. Literature: Guzzella & Onder,
/// Introduction to Modeling and Control of Internal Combustion Engine Systems, 2010, ch. 2 (from memory).
struct ManifoldParameters {
    ManifoldKind kind = ManifoldKind::isothermal;
    double volume = 3.0e-3;         ///< V [m³]
    double temperature = 328.0;     ///< T_w [K]
    double wall_conductance = 0.0;  ///< k [W/K], adiabatic only
};

[[nodiscard]] const Description& description(Tag<ManifoldParameters>);

template <class T>
struct ManifoldCoefficients {
    T adiabatic;  ///< 1: adiabatic; 0: isothermal
    T inverse_volume, wall_temperature, wall_conductance;
};

[[nodiscard]] ManifoldCoefficients<double> manifold_coefficients(const ManifoldParameters& p);

inline constexpr double cv = plant::gas_constant / (plant::isentropic_exponent - 1.0);  ///< c_v [J/(kg·K)]
inline constexpr double cp = cv + plant::gas_constant;                                  ///< c_p [J/(kg·K)]

template <class T>
struct ManifoldRates {
    T pressure;     ///< ṗ [Pa/s]
    T temperature;  ///< Ṫ [K/s]
};

/// For the gas (`pressure`, `temperature`), inflow from outside air at `outside` [K].
template <class T>
[[nodiscard]] ManifoldRates<T> manifold_rates(const ManifoldCoefficients<T>& c, T pressure, T temperature, T inflow,
                                              T outside, T outflow) noexcept {
    const T zero(0.0), r(plant::gas_constant);
    const T isothermal = r * temperature * c.inverse_volume * (inflow - outflow);
    const auto adiabatic = c.adiabatic > zero;
    if (!any(adiabatic)) return {isothermal, zero};
    const T entering = select(inflow < zero, temperature, outside);
    const T power =
        T(cp) * (inflow * entering - outflow * temperature) + c.wall_conductance * (c.wall_temperature - temperature);
    const T factor = r * c.inverse_volume / T(cv);
    const T warming = factor * temperature / pressure * (power - T(cv) * temperature * (inflow - outflow));
    return {select(adiabatic, factor * power, isothermal), select(adiabatic, warming, zero)};
}

/// How fast [1/s] the pressure answers itself through an inflow of conductance G (orifice.hpp): never less than
/// −∂ṗ/∂p by the inflow. Very fast when the throttle is wide open.
template <class T>
[[nodiscard]] T filling_rate(const ManifoldCoefficients<T>& c, T temperature, T conductance) noexcept {
    return T(plant::isentropic_exponent * plant::gas_constant) * temperature * c.inverse_volume * conductance;
}

}  // namespace twintrack::engine
