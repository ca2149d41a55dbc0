// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>

#include "twintrack/control/pid.hpp"
#include "twintrack/plant/throttle_body.hpp"

namespace twintrack::control {

/// The body as the tuning models it, small signals, springs left out:  θ/u = K_v / (s (1 + T_m s)(1 + T_Σ s)).
struct LoopModel {
    double velocity_gain;  ///< K_v [rad/(V·s)] = NK/(RB + (NK)²)
    double motor_time;     ///< T_m [s] = RJ/(RB + (NK)²)
    double small_time;     ///< T_Σ [s]: armature L/R, input filter, half a period of hold, half of differencing, τ_f
    double derivative_filter;  ///< τ_f [s] of the PID's derivative
};

/// `derivative_filter` [s]; absent: one period.
[[nodiscard]] LoopModel loop_model(const plant::BodyMechanics& body, double period, double filter_time,
                                   std::optional<double> derivative_filter = {});

/// PID gains by the damping optimum with the characteristic ratios D₃ = D₄ = 1/2 and D₂, as a rule 1/2 as well:
///
///     T_e = T_m T_Σ / ((T_m + T_Σ) D₂ D₃ D₄),   K_p = (T_m + T_Σ)/(K_v D₃ D₂² T_e²)
///     T_i = T_e,   T_d = max(D₂ T_e − 1/(K_p K_v), 0)
///
/// Literature: the method Deur et al. 2004 and Pavković et al. 2006 tune throttles with (their abstracts); Naslin 1968
/// for the characteristic ratios (from memory); the four equations are derived in lib/control/README.md.
///
/// Only T_i depends on D₂: it is inversely proportional to it, K_p and T_d stay.
[[nodiscard]] PidParameters damping_optimum(const LoopModel& model, double integral_ratio = 0.5);

/// Gains from the phase at the crossover ω₀ = `crossover`/T_Σ [rad/s]:
///
///     K_d = ω₀ T_m/K_v,   tan φ = ω₀ K_d/K_p,   φ = φ_m − 90° + atan(ω₀ T_m) + ω₀ T_Σ,   K_i = K_p/T_i
///
/// `margin` φ_m [rad], `integral_time` T_i [s]. φ is held to 45° … 88°, so K_p is at most K_d ω₀. The derivative is not
/// filtered. Derived in lib/control/README.md.
[[nodiscard]] PidParameters by_phase_margin(const LoopModel& model, double crossover, double margin,
                                            double integral_time);

/// Fastest set point [rad/s] that a filter of two lags τ can stop from, with the bridge at `volts` against the motion:
/// R J/(N K) v/τ − N K v = volts. Infinite when the back-EMF is enough to stop it.
[[nodiscard]] double fastest_set_point(const plant::BodyMechanics& body, double set_point_time, double volts);

/// Whether the model's loop with these gains is stable (Routh–Hurwitz on its characteristic polynomial).
[[nodiscard]] bool stable(const LoopModel& model, const PidParameters& gains);

}  // namespace twintrack::control
