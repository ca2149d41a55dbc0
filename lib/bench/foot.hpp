// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/bench/stroke.hpp"

/// What a foot does wrong while a pedal is learned: changed strokes. Shares are of the pedal's travel.
namespace twintrack::bench::foot {

[[nodiscard]] Stroke shortened(const Stroke& s, double share);     ///< every press reaches `share` of what it should
[[nodiscard]] Stroke pressed_once(const Stroke& s);                ///< after its first release it stays at rest
[[nodiscard]] Stroke not_released(const Stroke& s, double share);  ///< after its first peak it never goes below
[[nodiscard]] Stroke blocked(const Stroke& s, double share);       ///< never goes beyond
[[nodiscard]] Stroke resting(const Stroke& s, double share);       ///< rest is `share`, full is full
[[nodiscard]] Stroke lifted_late(const Stroke& s, double share);   ///< stays at `share` until the first press passes it

}  // namespace twintrack::bench::foot
