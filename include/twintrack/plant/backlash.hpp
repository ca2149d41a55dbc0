// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::plant {

/// Backlash of the gear between motor and blade, everything referred to the blade shaft. With a play b > 0 motor and
/// blade are two masses, J_m = s J and J_b = (1 − s) J, that touch through the teeth:
///
///     φ = θ_m − θ,   e = φ − b/2 where φ > b/2,  φ + b/2 where φ < −b/2,  else 0          depth of the contact
///     τ = k e max(1 + d e' sgn e, 0)                                                  torque on the blade
///     J_m dω_m/dt = N K i − τ,   J_b dω/dt = τ + (springs, stops, friction, outside)
///
/// The teeth push and never pull; without contact nothing acts between the two. With b = 0 there is one mass, as
/// without backlash, bit for bit. Passive: the part with d is dissipated.
/// Literature: K. H. Hunt, F. R. E. Crossley, J. Appl. Mech. 42(2), 1975 (contact law; from memory). The gear's
/// stiffness and the motor's share of the inertia: common practice, no source.
struct BacklashParameters {
    double play = 0.0;          ///< b [rad] from flank to flank, at the blade; 0: none
    double motor_share = 0.7;   ///< s
    double stiffness = 1000.0;  ///< k [N·m/rad]
    double dissipation = 0.5;   ///< d [s/rad]
};

[[nodiscard]] const Description& description(Tag<BacklashParameters>);

/// τ: torque of the teeth on the blade, and against the motor. `ahead` = θ_m − θ, `rate` = ω_m − ω.
template <class T>
[[nodiscard]] T tooth_torque(const BacklashParameters& p, T ahead, T rate) noexcept {
    const T half(0.5 * p.play), zero(0.0), one(1.0);
    const T depth = ahead - clamp(ahead, -half, half);
    const T closing = select(depth < zero, -rate, rate);
    return T(p.stiffness) * depth * max(one + T(p.dissipation) * closing, zero);
}

}  // namespace twintrack::plant
