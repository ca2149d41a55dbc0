// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/logarithm.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/plant/atmosphere.hpp"

namespace twintrack::plant {

/// Compressible flow through a small opening of effective area A [m²] (discharge coefficient included).
///
///     ṁ = A p₁/√(R T₁) Ψ(r),   r = p₂/p₁                                  1 upstream, 2 downstream
///     Ψ = Ψ* = √γ (2/(γ+1))^((γ+1)/(2(γ−1)))                               r ≤ r* = (2/(γ+1))^(γ/(γ−1)), choked
///     Ψ = √(2γ/(γ−1) (r^(2/γ) − r^((γ+1)/γ)))                              r* < r ≤ 0.99
///     Ψ = Ψ(0.99) (a x + (1 − a) x²),  x = (1 − r)/0.01                    0.99 < r ≤ 1
///
/// The last line replaces the infinite slope at r = 1 by a parabola that meets the law with equal value and slope (a ≈
/// 1.5). Temperature is that of the upstream side. Flow is written as a conductance, ṁ = G (p₁ − p₂), because G stays
/// finite, has no sign and serves implicit integration. Literature: Heywood, Internal Combustion Engine Fundamentals,
/// 1988, App. C (from memory); NACA 1135, 1953 (choked form).
struct Orifice {
    static constexpr double linear_from = 0.99;
    double critical_ratio;  ///< r*
    double inverse_gamma;   ///< 1/γ
    double factor;          ///< √(2γ/(γ−1))
    double at_linear;       ///< Ψ(0.99)
    double slope;           ///< a
};

[[nodiscard]] Orifice orifice(double gamma = isentropic_exponent);

/// Ψ(r)/(1 − r), for 0 ≤ r ≤ 1.
template <class T>
[[nodiscard]] T flow_ratio(const Orifice& o, T r) noexcept {
    const T one(1.0), edge(Orifice::linear_from);
    const T held = clamp(r, T(o.critical_ratio), edge);
    const T y = power(held, T(o.inverse_gamma));  // r^(2/γ) − r^((γ+1)/γ) = y (y − r)
    const T psi = T(o.factor) * sqrt(y * (y - held));
    const T x = (one - r) * T(1.0 / (1.0 - Orifice::linear_from));
    const T near = T(o.at_linear / (1.0 - Orifice::linear_from)) * (T(o.slope) + T(1.0 - o.slope) * x);
    return select(r > edge, near, psi / (one - min(r, edge)));
}

/// Ψ(r), for 0 ≤ r ≤ 1.
template <class T>
[[nodiscard]] T flow_function(const Orifice& o, T r) noexcept {
    return flow_ratio(o, r) * (T(1.0) - r);
}

/// One side of an opening.
template <class T>
struct GasState {
    T pressure;     ///< [Pa], > 0
    T temperature;  ///< [K]
};

/// G [kg/(s·Pa)] with ṁ = G (p₁ − p₂), positive from `one` to `two`; either side may be the higher.
template <class T>
[[nodiscard]] T flow_conductance(const Orifice& o, T area, const GasState<T>& one, const GasState<T>& two) noexcept {
    const T high = max(one.pressure, two.pressure);
    const T low = min(one.pressure, two.pressure);
    const T temperature = select(one.pressure < two.pressure, two.temperature, one.temperature);
    return area * flow_ratio(o, low / high) / sqrt(T(gas_constant) * temperature);
}

/// ṁ [kg/s], positive from `one` to `two`.
template <class T>
[[nodiscard]] T orifice_flow(const Orifice& o, T area, const GasState<T>& one, const GasState<T>& two) noexcept {
    return flow_conductance(o, area, one, two) * (one.pressure - two.pressure);
}

}  // namespace twintrack::plant
