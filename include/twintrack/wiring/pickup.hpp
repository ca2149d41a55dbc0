// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/number.hpp"
#include "twintrack/sensing/track.hpp"
#include "twintrack/wiring/harness_parameters.hpp"

/// What an unshielded signal wire picks up from the switching of the bridge.
///
/// A motor lead that jumps by U within t_e couples through C = c·l into a wire that the sensor holds with R against the
/// pin's capacitor C_in. The wire sees a pulse of the height and, to ground, of the area
///
///     V = U (R C / t_e) (1 − exp(−t_e / (R (C + C_in))))          A = U R C
///
/// One pulse for each edge, up and down. Behind an input filter τ much longer than the PWM period only the area counts:
/// the converter sees steps of δ = U R C / τ, up and down, about a mean of zero. With a share d of the period high,
/// it is at δ (1 − d) for the share d and at −δ d for the rest; a sample, which is not synchronous with the PWM, meets
/// one or the other by chance. Without a filter δ is V.
///
/// Limits: one lead switches at a time; no inductive coupling, no ringing; R is the healthy sensor's, so that an open
/// wire picks up as little as a whole one; the two tracks of a pair are hit at the same instant, and each alone.
namespace twintrack::wiring {

/// δ/U of a track's signal wire; 0 for a shielded one. `filter_time` τ [s].
[[nodiscard]] double pickup(const HarnessParameters& p, const sensing::TrackParameters& track, double filter_time);

/// [V] at the converter for a sample at `phase` (0 … 1) of the PWM period, `step` = δ [V].
template <class T>
[[nodiscard]] T disturbance(T step, T duty, T phase) noexcept {
    const T d = abs(duty);
    return select(phase < d, step * (T(1.0) - d), -step * d);
}

}  // namespace twintrack::wiring
