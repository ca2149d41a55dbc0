// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/angle.hpp"
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::plant {

/// The opening that the blade leaves in its bore, and the torque of the air on the blade.
///
///     ψ = ψ₀ + θ − θ₀                                   from the bore's normal; closed plate at ψ₀ (θ = θ₀)
///     A = (πD²/4)(1 − c/c₀ + (2/π)[(a/c)√(c² − a²c₀²) + (c/c₀) asin(a c₀/c) − a√(1 − a²) − asin a])
///         c = cos ψ, c₀ = cos ψ₀, a = d/D;              constant once c ≤ a c₀ (only the shaft blocks the bore)
///     A_eff = C_d A + A_leak,  C_d = C₀ + (C₁ − C₀) A/A_max
///     τ = −K D³ (p₁ − p₂) 4 s (1 − s),  s = (ψ − ψ₀)/(π/2 − ψ₀) held to 0 … 1
///
/// θ [rad] blade angle, opening positive; D bore, d shaft [m]; A_eff [m²] effective area for orifice.hpp; τ [N·m] on
/// the blade, closing while p₁ (ambient) exceeds p₂ (manifold). The leak flows however far the blade is closed. One
/// sharp plate of no thickness; C_d by opening only, not by pressure ratio. Dirt is a smaller A_leak, a vacuum leak a
/// larger. Literature: Harrington & Bolt, SAE 700082, 1970, and Heywood, 1988, eq. 7.18, for the form (from memory; the
/// signs derived anew and confirmed by numerical integration). C_d 0.6 to 0.9, rising with opening, and the blade
/// torque are from memory: treat the torque as a disturbance.
struct AirPathParameters {
    double bore = 0.050;             ///< D [m]
    double shaft = 0.008;            ///< d [m]
    double seat_angle = 0.087;       ///< ψ₀ [rad] of the closed plate from the bore's normal
    double blade_zero = 0.0;         ///< θ₀ [rad] blade angle at which the plate is closed
    double discharge_closed = 0.55;  ///< C₀
    double discharge_open = 0.85;    ///< C₁
    double leak_area = 3.0e-6;       ///< A_leak [m²] effective
    double torque_factor = 0.005;    ///< K
};

[[nodiscard]] const Description& description(Tag<AirPathParameters>);

void check(const AirPathParameters& p, const std::string& path);

template <class T>
struct AirPathCoefficients {
    T seat, zero;          ///< ψ₀, θ₀ [rad]
    T seat_cosine;         ///< c₀
    T shaft_share;         ///< a
    T shaft_term;          ///< a√(1 − a²) + asin a
    T bore_area;           ///< πD²/4 [m²]
    T discharge_closed;    ///< C₀
    T discharge_per_area;  ///< (C₁ − C₀)/A_max [1/m²]
    T leak;                ///< A_leak [m²]
    T torque;              ///< K D³ [m³]
};

/// Throws InvalidParameter.
[[nodiscard]] AirPathCoefficients<double> air_path_coefficients(const AirPathParameters& p);

/// A [m²], geometric.
template <class T>
[[nodiscard]] T open_area(const AirPathCoefficients<T>& c, T angle) noexcept {
    const T zero(0.0), one(1.0), two_over_pi(2.0 / pi);
    const T psi = clamp(c.seat + (angle - c.zero), c.seat, T(0.5 * pi));
    const T shadow = c.shaft_share * c.seat_cosine;
    const T cosine_psi = max(cosine(psi), max(shadow, T(1e-12)));  // 1e-12: no shaft, fully open
    const T root = sqrt(max(cosine_psi * cosine_psi - shadow * shadow, zero));
    const T ratio = cosine_psi / c.seat_cosine;
    const T shaft = c.shaft_share * root / cosine_psi + ratio * arcsine(min(shadow / cosine_psi, one)) - c.shaft_term;
    return c.bore_area * max(one - ratio + two_over_pi * shaft, zero);
}

/// A_eff [m²].
template <class T>
[[nodiscard]] T effective_area(const AirPathCoefficients<T>& c, T angle) noexcept {
    const T area = open_area(c, angle);
    return (c.discharge_closed + c.discharge_per_area * area) * area + c.leak;
}

/// τ [N·m] on the blade; `drop` = p₁ − p₂ [Pa].
template <class T>
[[nodiscard]] T air_torque(const AirPathCoefficients<T>& c, T angle, T drop) noexcept {
    const T zero(0.0), one(1.0);
    const T s = clamp((angle - c.zero) / (T(0.5 * pi) - c.seat), zero, one);
    return -c.torque * drop * T(4.0) * s * (one - s);
}

/// The blade angle [rad] that gives the effective area, held between the closed plate and fully open.
[[nodiscard]] double angle_for_area(const AirPathCoefficients<double>& c, double effective_area);

}  // namespace twintrack::plant
