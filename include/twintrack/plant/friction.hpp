// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/described.hpp"
#include "twintrack/core/exponential.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::plant {

enum class FrictionKind { bristle, simple };

constexpr std::array<std::pair<FrictionKind, const char*>, 2> names(Tag<FrictionKind>) {
    return {{{FrictionKind::bristle, "bristle"}, {FrictionKind::simple, "simple"}}};
}

/// Friction at the blade shaft: the LuGre bristle model, or the same steady curve without memory.
///
///     g(ω) = M_C + (M_S − M_C) exp(−(ω/ω_S)²) + (1−η) |N K i|
///     bristle:  ż = ω − σ₀ |ω| z / g,   M = σ₀ z + σ₁' ż + σ₂ ω,   σ₁' = σ₁ · 4g / (4g + σ₁ |ω|)
///     simple:   M = g ω / √(ω² + ω_ε²) + σ₂ ω
///
/// M [N·m] opposes ω [rad/s]; z [rad] mean bristle deflection. The published model takes σ₁' = σ₁, which can feed
/// energy back at high speed; the fade keeps σ₁' ≤ 4g/|ω|, which makes M ω ≥ d/dt(σ₀z²/2) always. (1−η)|NKi| is the
/// gear's loss under load. Literature: Canudas de Wit, Olsson, Åström, Lischinsky, IEEE TAC 40(3):419–425, 1995;
/// passivity: Åström & Canudas de Wit, IEEE Control Systems 28(6), 2008 (from memory).
struct FrictionParameters {
    FrictionKind kind = FrictionKind::bristle;
    double coulomb = 0.12;             ///< M_C [N·m]
    double breakaway = 0.16;           ///< M_S [N·m] ≥ M_C
    double stribeck_speed = 0.3;       ///< ω_S [rad/s]
    double viscous = 0.005;            ///< σ₂ [N·m·s/rad]
    double bristle_stiffness = 200.0;  ///< σ₀ [N·m/rad]
    double bristle_damping = 0.4;      ///< σ₁ [N·m·s/rad]
    double smoothing_speed = 0.01;     ///< ω_ε [rad/s], simple only
};

[[nodiscard]] const Description& description(Tag<FrictionParameters>);

void check(const FrictionParameters& p, const std::string& path);

template <class T>
struct FrictionCoefficients {
    FrictionKind kind;
    T coulomb, excess, inverse_stribeck, viscous, stiffness, damping, smoothing;
    T load_share;  ///< 1 − η
};

/// `gear_efficiency` η makes friction grow with the motor torque that passes through the gear.
[[nodiscard]] FrictionCoefficients<double> friction_coefficients(const FrictionParameters& p,
                                                                 double gear_efficiency = 1.0);

/// g [N·m]: the level of steady sliding friction; `load` [N·m] is the torque through the gear.
template <class T>
[[nodiscard]] T friction_level(const FrictionCoefficients<T>& c, T speed, T load) noexcept {
    const T ratio = speed * c.inverse_stribeck;
    return c.coulomb + c.excess * exponential(-(ratio * ratio)) + c.load_share * abs(load);
}

template <class T>
struct Friction {
    T torque;        ///< M [N·m], opposes the motion
    T bristle_rate;  ///< ż [rad/s]
};

template <class T>
[[nodiscard]] Friction<T> friction(const FrictionCoefficients<T>& c, T speed, T bristle, T load) noexcept {
    const T g = friction_level(c, speed, load);
    if (c.kind == FrictionKind::simple)
        return {g * speed / sqrt(speed * speed + c.smoothing * c.smoothing) + c.viscous * speed, T(0.0)};
    const T pace = abs(speed);
    const T rate = speed - c.stiffness * pace * bristle / g;
    const T four_g = T(4.0) * g;
    const T damping = c.damping * four_g / (four_g + c.damping * pace);
    return {c.stiffness * bristle + damping * rate + c.viscous * speed, rate};
}

}  // namespace twintrack::plant
