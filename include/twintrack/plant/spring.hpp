// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::plant {

/// Two springs, one on each side of the default position θ₀ where the unpowered blade rests.
///
///     θ > θ₀:  τ = −M_o min((θ−θ₀)/w, 1) − c_o (θ−θ₀)          return spring, closes
///     θ < θ₀:  τ = +M_c min((θ₀−θ)/w, 1) + c_c (θ₀−θ)          opener spring, opens to the default position
///
/// θ [rad] blade angle, opening positive; τ [N·m] on the blade. The preload jump is spread over w so that τ is
/// continuous. A body with one spring has its rest angle below the closed stop. Either spring can break (scale 0).
/// Literature: Isermann 2017 §7.1.2 (two opposing springs, preloads); Deur et al. 2004 (the jump at the default).
struct SpringParameters {
    double rest_angle = 0.13;     ///< θ₀ [rad]
    double open_preload = 0.30;   ///< M_o [N·m]
    double open_rate = 0.06;      ///< c_o [N·m/rad]
    double close_preload = 0.20;  ///< M_c [N·m]
    double close_rate = 0.08;     ///< c_c [N·m/rad]
    double width = 0.0035;        ///< w [rad]
};

[[nodiscard]] const Description& description(Tag<SpringParameters>);

template <class T>
struct SpringCoefficients {
    T rest, open_preload, open_rate, close_preload, close_rate, width, inverse_width;
};

[[nodiscard]] SpringCoefficients<double> spring_coefficients(const SpringParameters& p);

/// τ [N·m] on the blade.
template <class T>
[[nodiscard]] T spring_torque(const SpringCoefficients<T>& c, T angle) noexcept {
    const T zero(0.0), one(1.0);
    const T x = angle - c.rest;
    const T up = max(x, zero);
    const T down = max(-x, zero);
    return c.close_rate * down + c.close_preload * min(down * c.inverse_width, one) - c.open_rate * up -
           c.open_preload * min(up * c.inverse_width, one);
}

/// V [J], zero at the default position; τ = −dV/dθ.
template <class T>
[[nodiscard]] T spring_potential(const SpringCoefficients<T>& c, T angle) noexcept {
    const T zero(0.0), half(0.5);
    const T x = angle - c.rest;
    const auto side = [&](T travel, T preload, T rate) {
        const T ramp = min(travel, c.width);
        return half * rate * travel * travel + preload * (half * ramp * ramp * c.inverse_width + (travel - ramp));
    };
    return side(max(x, zero), c.open_preload, c.open_rate) + side(max(-x, zero), c.close_preload, c.close_rate);
}

}  // namespace twintrack::plant
