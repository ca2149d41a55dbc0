// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/fields.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::control {

/// PID with filtered derivative and back-calculation anti-windup, in discrete time with period h.
///
///     u = K_p e + I + D,    D⁺ = D·a + K_d (1 − a) Δe/h,  a = τ_f/(τ_f + h)
///     I⁺ = I + h K_i e₀ + h (u_sat − u)/T_t,   e₀ = e outside ± dead band, else 0;   T_t = √(T_i T_d)
///
/// e [rad], u [V]. Literature: Åström & Hägglund, Advanced PID Control, 2006, ch. 3 and 13 (from memory).
struct PidParameters {
    double proportional = 100.0;        ///< K_p [V/rad]
    double integral = 1000.0;           ///< K_i [V/(rad·s)]
    double derivative = 1.5;            ///< K_d [V·s/rad]
    double derivative_filter = 0.0015;  ///< τ_f [s]
    double dead_band = 0.0;             ///< [rad] of the integral part
    double limit = 1e9;                 ///< |u| [V], lowered at each step by the supply
};

constexpr auto fields(Tag<PidParameters>) {
    using P = PidParameters;
    return std::make_tuple(
        Field<P, double>{&P::proportional, "proportional", "V/rad", "proportional gain", {0.0, 1e6}},
        Field<P, double>{&P::integral, "integral", "V/rad/s", "integral gain", {0.0, 1e8}},
        Field<P, double>{&P::derivative, "derivative", "V*s/rad", "derivative gain", {0.0, 1e5}},
        Field<P, double>{&P::derivative_filter, "derivative_filter", "s", "filter of the derivative", {0.0, 1.0}},
        Field<P, double>{&P::dead_band, "dead_band", "rad", "error the integral part ignores", {0.0, 0.1}},
        Field<P, double>{&P::limit, "limit", "V", "largest output", {0.0, 1e9}});
}

template <class T>
struct PidState {
    T integral{};
    T derivative{};
    T last_error{};
};

template <class T>
struct PidOutput {
    T value;
    PidState<T> state;
};

/// One step: error `e`, feed-forward added before the limit, `limit` [V] of this step, period `h` [s].
template <class T>
[[nodiscard]] PidOutput<T> pid_step(const PidParameters& p, const PidState<T>& x, T e, T feed_forward, T limit,
                                    double h) noexcept;

}  // namespace twintrack::control
