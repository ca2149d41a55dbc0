// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/lanes/current_line.hpp"
#include "twintrack/lanes/exp2.hpp"
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
/// step in which the predicted movement touches; such a step is made in three parts. σ₁' as in friction.hpp. Brushes
/// and the current limit enter as a source behind a resistance about the predicted current; a current that dies in an
/// open bridge dies on a straight line within its last step. Bristle friction only. Brushes with more than about 0.5 V
/// cost accuracy where the current changes sign. Work that no lane needs is skipped, which never changes a lane that
/// does not need it.
/// Literature: Padé approximations and L-stability, Hairer & Wanner, Solving Ordinary Differential Equations II, 1996
/// (from memory); the combination is derived here and checked against the exact solver.
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
struct BodyState {
    plant::State<T> x;
    T speed_before;  ///< wₙ₋₁; equal to the speed at the start
};

/// What the steps of a tick have in common.
template <class T>
struct Tick {
    MotorSource<T> source;
    T h;       ///< [s]
    T hold;    ///< h σ₀
    T weight;  ///< h/2J
    T fade;    ///< of the Stribeck curve: −1/(ω_S² ln 2)
};

/// Fills in what follows from the bridge; `h` [s].
template <class T>
void prepare(const BodyCoefficients<T>& c, Tick<T>& t, T h) noexcept {
    constexpr double log2_e = 0x1.71547652b82fep+0;
    t.h = h;
    t.hold = h * c.stiffness;
    t.weight = T(0.5) * h * c.inverse_inertia;
    t.fade = -(c.inverse_stribeck * c.inverse_stribeck) * T(log2_e);
    prepare(c.motor, t.source, h);
}

/// Spring torque averaged over a movement from `angle` by `move`: the torque half way, or, past a bend of the law, the
/// difference of its potential.
template <class T>
[[nodiscard, gnu::noinline]] T torque_near_bend(const plant::SpringCoefficients<T>& c, T angle, T move) noexcept {
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

/// The same, quickly where all are on straight pieces of the law.
template <class T>
[[nodiscard]] T mean_spring_torque(const plant::SpringCoefficients<T>& c, T angle, T move) noexcept {
    const T zero(0.0), half(0.5);
    const T here = angle - c.rest, there = here + move;
    const T low = min(here, there), high = max(here, there);
    const auto clear = (low > c.width) | (high < -c.width);
    if (any(!clear)) return torque_near_bend(c, angle, move);
    const T x = angle + half * move - c.rest;  // the bits of the law
    return select(x > zero, zero - c.open_rate * x - c.open_preload, c.close_preload - c.close_rate * x);
}

/// What acts beside motor, springs and bristles, linear in the mean speed: torque = push − resistance w_m.
template <class T>
struct Contact {
    T push, resistance;
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

/// N K ī and i₊ about the predicted mean speed.
template <class T>
[[nodiscard]] CurrentLine<T> line_at(const BodyCoefficients<T>& c, const Tick<T>& t, T current, T ahead) noexcept {
    const MotorSource<T>& p = t.source;
    const T zero(0.0);
    CurrentLine<T> line = current_line(p, current);
    if (p.bends || any(abs(line.torque + line.slope * ahead) > p.most))
        line = bent(c.motor, p, t.h, current, ahead, line);
    if (p.dies && any((p.open > zero) & (abs(current) > zero))) line = dying(c.motor, p, t.h, current, ahead, line);
    return line;
}

/// The step's result for a predicted mean speed `ahead`: the equations above, multiplied through so that 1/(Q F) with
/// F = 4 G + σ₁ |w*| is the only division beside the last.
template <class T>
[[nodiscard]] BodyState<T> stepped(const BodyCoefficients<T>& c, const Tick<T>& t, const BodyState<T>& state, T ahead,
                                   const Contact<T>& contact) noexcept {
    const T zero(0.0), one(1.0);
    const auto& [current, angle, speed, bristle] = state.x;
    const CurrentLine<T> line = line_at(c, t, current, ahead);
    const T pace = abs(ahead), load = abs(line.torque + line.slope * ahead);
    const T g = c.coulomb + c.excess * exp2_nonpositive(pace * pace * t.fade) + c.load_share * load;
    const T g2 = g + g, g4 = g2 + g2, s = t.hold * pace, u = g2 + s, damp = c.damping * pace;
    const T q = g2 * g + s * u, f = g4 + damp;
    const T inverse = one / (q * f), inverse_q = f * inverse, level = g * inverse;

    const T stretch = c.stiffness * bristle, strain = stretch * u, grow = t.hold * (g + s);
    const T lean = strain + grow * ahead;
    const T bent = select(ahead < zero, -lean, lean) * inverse_q;  // κ
    const T free = one - bent, known = bent * ahead;               // the bristle is driven by free w_m + known
    const T rub = level * (grow * f + c.damping * g4 * u);
    const T held = level * strain * (g4 - (damp + damp + damp));
    const T spring = mean_spring_torque(c.springs, angle, t.h * ahead);
    const T torque = (line.torque - held) - rub * known + (spring + contact.push);
    const T resisting = rub * free + (contact.resistance - line.slope);
    const T mean = (speed + t.weight * torque) / (one + t.weight * resisting);
    const T rate = u * inverse_q * (g * (free * mean + known) - stretch * pace);
    return {{line.end + line.end_slope * mean, angle + t.h * mean, mean + mean - speed, bristle + t.h * rate}, speed};
}

/// Contact at the predicted mean speed.
template <class T>
[[nodiscard]] Contact<T> contact_at(const plant::StopCoefficients<T>& c, T angle, T ahead, T h,
                                    Contact<T> contact) noexcept {
    const T zero(0.0), one(1.0);
    const T end = angle + h * ahead;
    touch(contact, c.closed - angle, c.closed - end, c.stiffness * max(one - c.damping * ahead, zero), h, -1.0);
    touch(contact, angle - c.open, end - c.open, c.stiffness * max(one + c.damping * ahead, zero), h, 1.0);
    return contact;
}

/// A step in which some lanes touch a stop: these in shorter parts, since a blade swings on its stop in a few steps.
template <class T>
[[nodiscard, gnu::noinline]] BodyState<T> step_touching(const BodyCoefficients<T>& c, const Tick<T>& t,
                                                        const BodyState<T>& state, T ahead) noexcept {
    constexpr int parts = 3;
    const Contact<T> free{t.source.external_torque, c.viscous};
    const T angle = state.x.angle, end = angle + t.h * ahead;
    const auto touching = (min(angle, end) < c.stops.closed) | (max(angle, end) > c.stops.open);
    Tick<T> part = t;
    prepare(c, part, t.h / T(double(parts)));
    BodyState<T> x = state;
    T next = x.x.speed + (ahead - x.x.speed) / T(double(parts));
    for (int k = 0; k < parts; ++k) {
        x = stepped(c, part, x, next, contact_at(c.stops, x.x.angle, next, part.h, free));
        next = T(1.5) * x.x.speed - T(0.5) * x.speed_before;
    }
    const BodyState<T> whole = stepped(c, t, state, ahead, free);
    return {{select(touching, x.x.current, whole.x.current), select(touching, x.x.angle, whole.x.angle),
             select(touching, x.x.speed, whole.x.speed), select(touching, x.x.bristle, whole.x.bristle)},
            state.x.speed};
}

/// One step.
template <class T>
[[gnu::always_inline]] inline void step(const BodyCoefficients<T>& c, const Tick<T>& t, BodyState<T>& state) noexcept {
    const T angle = state.x.angle;
    const T ahead = T(1.5) * state.x.speed - T(0.5) * state.speed_before;
    const T end = angle + t.h * ahead;
    const auto touching = (min(angle, end) < c.stops.closed) | (max(angle, end) > c.stops.open);
    if (any(touching)) {
        const BodyState<T> seen = state, there = step_touching(c, t, seen, ahead);  // so `state` stays in registers
        state = there;
    } else {
        state = stepped(c, t, state, ahead, Contact<T>{t.source.external_torque, c.viscous});
    }
}

}  // namespace twintrack::lanes
