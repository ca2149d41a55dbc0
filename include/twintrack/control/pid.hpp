// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::control {

/// PID with filtered derivative and back-calculation anti-windup, in discrete time with period h.
///
///     v  = K_p e + I + D + v_ff,   u = v held to ± limit
///     D⁺ = a D + K_d (1 − a) (e − e₋)/h,            a = τ_f/(τ_f + h)
///     I⁺ = I + h K_i e₀ + (h/T_t)(u − v),           h/T_t = min(h √(K_i/K_d), 1)
///
/// e [rad] error, e₋ the one before, e₀ = e less the dead band (zero inside it); u [V]. T_t = √(T_i T_d) = √(K_d/K_i)
/// is the tracking time; without derivative part T_t = T_i = K_p/K_i; without integral part I stays.
/// Literature: Åström & Hägglund, Advanced PID Control, 2006, ch. 3 and 13 (from memory).
struct PidParameters {
    double proportional = 100.0;        ///< K_p [V/rad]
    double integral = 1000.0;           ///< K_i [V/(rad·s)]
    double derivative = 1.5;            ///< K_d [V·s/rad]
    double derivative_filter = 0.0015;  ///< τ_f [s]
    double dead_band = 0.0;             ///< [rad] of the integral part
    double limit = 1e9;                 ///< |u| [V], lowered at each step by the supply
};

[[nodiscard]] const Description& description(Tag<PidParameters>);

/// What the law needs at each step.
template <class T>
struct PidCoefficients {
    T proportional;    ///< K_p
    T integral_step;   ///< h K_i
    T derivative_old;  ///< a
    T derivative_new;  ///< K_d (1 − a)/h
    T tracking;        ///< h/T_t
    T dead_band;
    T limit;
    T derivative;  ///< K_d, for a speed that is observed
};

/// For the period `h` [s]; throws InvalidParameter unless it is positive.
[[nodiscard]] PidCoefficients<double> pid_coefficients(const PidParameters& p, double h);

template <class T>
struct PidState {
    T integral{};    ///< I [V]
    T derivative{};  ///< D [V]
    T last_error{};  ///< e₋ [rad]
};

template <class T>
struct PidOutput {
    T value;  ///< u [V]
    PidState<T> state;
};

/// D⁺, by differencing.
template <class T>
[[nodiscard]] T pid_derivative(const PidCoefficients<T>& c, const PidState<T>& x, T e) noexcept {
    return c.derivative_old * x.derivative + c.derivative_new * (e - x.last_error);
}

/// One step: error `e` [rad], `derivative` [V], `feed_forward` [V] added before the limit, `limit` [V] of this step.
template <class T>
[[nodiscard]] PidOutput<T> pid_step(const PidCoefficients<T>& c, const PidState<T>& x, T e, T derivative,
                                    T feed_forward, T limit) noexcept {
    const T most = min(limit, c.limit);
    const T wanted = c.proportional * e + x.integral + derivative + feed_forward;
    const T value = clamp(wanted, -most, most);
    const T outside = e - clamp(e, -c.dead_band, c.dead_band);
    return {value, {x.integral + c.integral_step * outside + c.tracking * (value - wanted), derivative, e}};
}

/// The same with the differenced derivative.
template <class T>
[[nodiscard]] PidOutput<T> pid_step(const PidCoefficients<T>& c, const PidState<T>& x, T e, T feed_forward,
                                    T limit) noexcept {
    return pid_step(c, x, e, pid_derivative(c, x, e), feed_forward, limit);
}

}  // namespace twintrack::control
