// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::plant {

/// The closed and the open stop as stiff contacts with restitution (Hunt–Crossley).
///
///     below the closed stop:  τ = +k δ max(1 − d ω, 0),  δ = θ_c − θ
///     above the open stop:    τ = −k δ max(1 + d ω, 0),  δ = θ − θ_o
///
/// Never pulls. Restitution e ≈ 1 − (2/3) d |ω_impact| for small d|ω|.
/// Literature: Hunt & Crossley, J. Appl. Mech. 42(2):440–445, 1975 (from memory).
struct StopParameters {
    double closed_angle = 0.0;  ///< θ_c [rad]
    double open_angle = 1.48;   ///< θ_o [rad]
    double stiffness = 1.0e4;   ///< k [N·m/rad]
    double damping = 0.3;       ///< d [s/rad]
};

[[nodiscard]] const Description& description(Tag<StopParameters>);

void check(const StopParameters& p, const std::string& path);

template <class T>
struct StopCoefficients {
    T closed, open, stiffness, damping;
};

[[nodiscard]] StopCoefficients<double> stop_coefficients(const StopParameters& p);

/// τ [N·m] on the blade.
template <class T>
[[nodiscard]] T stop_torque(const StopCoefficients<T>& c, T angle, T speed) noexcept {
    const T zero(0.0), one(1.0);
    const T below = max(c.closed - angle, zero);
    const T above = max(angle - c.open, zero);
    return c.stiffness * (below * max(one - c.damping * speed, zero) - above * max(one + c.damping * speed, zero));
}

/// Elastic part [J].
template <class T>
[[nodiscard]] T stop_potential(const StopCoefficients<T>& c, T angle) noexcept {
    const T zero(0.0), half(0.5);
    const T below = max(c.closed - angle, zero);
    const T above = max(angle - c.open, zero);
    return half * c.stiffness * (below * below + above * above);
}

}  // namespace twintrack::plant
