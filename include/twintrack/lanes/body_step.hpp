// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/lanes/current_line.hpp"
#include "twintrack/plant/throttle_body.hpp"

namespace twintrack::lanes {

/// One fixed step of the throttle body, second order, linearly implicit: one linear equation for the mean speed.
///
///     w* = 1.5 wₙ − 0.5 wₙ₋₁                                      predictor of w_m
///     i_ss = (v − N K w_m)/R',  i₊ = i_ss + (iₙ − i_ss) e^(−h/τ),  ī = i_ss (1 − c) + iₙ c
///         τ = L/R',  c = (1 − e^(−h/τ)) τ/h                       exact for a constant speed
///     G = g(w*, ī*),  s = h σ₀ |w*|,  Q = 2 G² + 2 s G + s²       Padé (0,2) of e^(−s/G), L-stable:
///     E = 2 G²/Q,  φ₁ = G (2 G + s)/Q,  φ₂ = G (G + s)/Q
///     u = (1 − κ) w_m + κ w*,  κ = σ₀ sgn(w*) (φ₁ z + h φ₂ w*)/G  |w_m| z about w*: else a wrong w* is wrong friction
///     z₊ = E z + h φ₁ u,  z̄ = φ₁ z + h φ₂ u
///     w_m = wₙ + (h/2J) [N K ī − σ₀ z̄ − σ₁' (z₊ − z)/h − σ₂ w_m + τ̄_spring + τ̄_stop + τ_external]
///     w₊ = 2 w_m − wₙ,  θ₊ = θₙ + h w_m
///
/// τ̄_spring: mean over the predicted movement. τ̄_stop: k max(1 ∓ d w*, 0) times the mean depth over the share of the
/// step in which the predicted movement touches. σ₁' as in friction.hpp. Brushes and the current limit enter as a
/// source behind a resistance about the predicted current; a current that dies in an open bridge dies on a straight
/// line within its last step. Bristle friction only. Brushes with more than about 0.1 V cost accuracy where the current
/// changes sign. Work that no lane needs is skipped, which never changes a lane that does not need it.
/// Literature: Padé approximations and L-stability, Hairer & Wanner, Solving Ordinary Differential Equations II, 1996
/// (from memory); the combination is derived here and checked against the exact engine.
template <class T>
struct BodyCoefficients {
    plant::MotorCoefficients<T> motor;
    plant::SpringCoefficients<T> springs;
    T coulomb, excess, inverse_stribeck, viscous, stiffness, damping, load_share;  ///< of the friction
    plant::StopCoefficients<T> stops;
    T inverse_inertia;
};

[[nodiscard]] BodyCoefficients<double> body_coefficients(const plant::Coefficients<double>& c);

template <class T>
[[nodiscard]] plant::FrictionCoefficients<T> friction_of(const BodyCoefficients<T>& c) noexcept {
    return {plant::FrictionKind::bristle,
            c.coulomb,
            c.excess,
            c.inverse_stribeck,
            c.viscous,
            c.stiffness,
            c.damping,
            T(1.0),
            c.load_share};
}

template <class T>
struct BodyState {
    plant::State<T> x;
    T speed_before;  ///< wₙ₋₁; equal to the speed at the start
};

/// Spring torque averaged over a movement from `angle` by `move`: the torque half way, or, past a bend of the law, the
/// difference of its potential.
template <class T>
[[nodiscard]] T mean_spring_torque(const plant::SpringCoefficients<T>& c, T angle, T move) noexcept {
    const T zero(0.0), half(0.5);
    const T here = angle - c.rest, there = here + move;
    const T low = min(here, there), high = max(here, there);
    const auto past = [&](T bend) { return (low < bend) & (high > bend); };
    const auto bends = past(-c.width) | past(zero) | past(c.width);
    const T straight = plant::spring_torque(c, angle + half * move);
    if (!any(bends)) return straight;
    const T lost = plant::spring_potential(c, angle) - plant::spring_potential(c, angle + move);
    return select(bends, lost / select(bends, move, T(1.0)), straight);
}

/// Contact with the stops over a step, linear in the mean speed: torque = push − resistance w_m.
template <class T>
struct Contact {
    T push{}, resistance{};
};

/// One stop; `inside` and `then` [rad]: how deep the blade is in it now and at the end of a step at the predicted
/// speed, `rate` [N·m/rad] its k_c, `along` the speed into it per speed of the blade (−1 closed, +1 open).
template <class T>
void touch(Contact<T>& all, T inside, T then, T rate, T h, double along) noexcept {
    const T zero(0.0), half(0.5), one(1.0);
    const T share = (max(inside, zero) + max(then, zero)) / max(abs(inside) + abs(then), T(1e-300));
    const T centre = select(inside < zero, one - half * share, half * share);
    const T stiffness = rate * share;
    all.push = all.push - T(along) * stiffness * inside;
    all.resistance = all.resistance + stiffness * centre * h;
}

/// The step's result for a predicted mean speed `ahead`.
template <class T>
[[nodiscard]] BodyState<T> stepped(const BodyCoefficients<T>& c, const Push<T>& p, T h, const BodyState<T>& state,
                                   T ahead, const Contact<T>& contact) noexcept {
    const T zero(0.0), half(0.5), one(1.0), two(2.0), four(4.0);
    const auto& [current, angle, speed, bristle] = state.x;
    CurrentLine<T> line = current_line(p.voltage, c.motor.blade_constant, p.inverse, p.decay, p.share, current);
    if (any((c.motor.brush_drop > zero) | over_limit(p, line, ahead))) bend(c.motor, p, h, current, ahead, line);
    if (any((p.open > zero) & (abs(current) > zero))) die(c.motor, p, h, current, ahead, line);

    const T load = c.motor.blade_constant * (line.mean + line.mean_slope * ahead);
    const T g = plant::friction_level(friction_of(c), ahead, load);
    const T rush = c.stiffness * abs(ahead), s = h * rush;
    const T q = two * g * g + s * (two * g + s);
    const T f = four * g + c.damping * abs(ahead);
    const T qf = q * f;
    const T inverse = one / (qf * g);  // one division for 1/Q, 1/G and the fade of the damping
    const T inverse_q = inverse * (f * g);
    const T first = g * (two * g + s) * inverse_q;
    const T second = g * (g + s) * inverse_q;
    const T damping = c.damping * four * g * (inverse * (q * g));
    const T relaxing = -(two * g + s) * rush * inverse_q * bristle;

    const T along = select(ahead < zero, -one, one);
    const T bent = c.stiffness * along * (first * bristle + h * second * ahead) * (inverse * qf);
    const T free = one - bent, known = bent * ahead;  // the bristle is driven by free w_m + known

    const T rub = c.stiffness * h * second + damping * first;
    const T torque = c.motor.blade_constant * line.mean - c.stiffness * first * bristle - damping * relaxing -
                     rub * known + mean_spring_torque(c.springs, angle, h * ahead) + p.external_torque + contact.push;
    const T resisting = rub * free + c.viscous + contact.resistance - c.motor.blade_constant * line.mean_slope;
    const T weight = half * h * c.inverse_inertia;
    const T mean = (speed + weight * torque) / (one + weight * resisting);
    return {{line.end + line.end_slope * mean, angle + h * mean, two * mean - speed,
             bristle + h * (relaxing + first * (free * mean + known))},
            speed};
}

/// Contact at the predicted mean speed.
template <class T>
[[nodiscard]] Contact<T> contact_at(const plant::StopCoefficients<T>& c, T angle, T ahead, T h) noexcept {
    const T zero(0.0), one(1.0);
    const T end = angle + h * ahead;
    Contact<T> contact{zero, zero};
    touch(contact, c.closed - angle, c.closed - end, c.stiffness * max(one - c.damping * ahead, zero), h, -1.0);
    touch(contact, angle - c.open, end - c.open, c.stiffness * max(one + c.damping * ahead, zero), h, 1.0);
    return contact;
}

/// One step of `h` [s]. A blade that touches a stop, or comes to touch it, makes it three times: each result is the
/// next one's prediction.
template <class T>
void step(const BodyCoefficients<T>& c, const Push<T>& p, T h, BodyState<T>& state) noexcept {
    const T zero(0.0);
    const T angle = state.x.angle;
    const T ahead = T(1.5) * state.x.speed - T(0.5) * state.speed_before;
    const T end = angle + h * ahead;
    const auto touching = (min(angle, end) < c.stops.closed) | (max(angle, end) > c.stops.open);
    if (!any(touching)) {
        state = stepped(c, p, h, state, ahead, {zero, zero});
        return;
    }
    T better = ahead;
    for (int pass = 0; pass < 2; ++pass) {
        const BodyState<T> first = stepped(c, p, h, state, better, contact_at(c.stops, angle, better, h));
        better = select(touching, (first.x.angle - angle) / h, ahead);
    }
    state = stepped(c, p, h, state, better, contact_at(c.stops, angle, better, h));
}

}  // namespace twintrack::lanes
