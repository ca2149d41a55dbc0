// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <vector>

#include "twintrack/sensing/assembly.hpp"

namespace twintrack::control {

inline constexpr std::size_t curve_knots = 33;

/// What the learn stores of one track: its reading at evenly spaced positions of the first track of its assembly.
/// The first track's own curve is a straight line between its readings at the two ends.
///
///     p = (r − r₀)/(r₁ − r₀)        r reading, r₀ and r₁ its readings at the two ends, p position
///
/// A range (r₀, r₁) that is not the plugged part's own (r₀', r₁') therefore errs by an affine law in the true position
/// x: p − x = (r₀' − r₀)/(r₁ − r₀) + x ((r₁' − r₀')/(r₁ − r₀) − 1).
struct LearnedTrack {
    std::array<double, curve_knots> curve{};  ///< [share of converter full scale] at positions 0, 1/32, … 1

    [[nodiscard]] double start() const noexcept { return curve.front(); }
    [[nodiscard]] double end() const noexcept { return curve.back(); }
    [[nodiscard]] double span() const noexcept { return end() - start(); }

    /// Reading expected at `position` (0 … 1, extended in a straight line beyond the ends).
    [[nodiscard]] double expected(double position) const noexcept;
    /// Position [–] for a reading: linear between the ends' readings, not held at 0 and 1.
    [[nodiscard]] double linear_position(double reading) const noexcept;

    /// The lowest position [–] at which the learned curve takes `reading`; beyond its ends along the line between them,
    /// unless it ends flat.
    [[nodiscard]] double lowest_position(double reading) const noexcept;
    /// The largest position [–] at which the track could give `reading`, allowing `slack` [share of span] of error; 1
    /// or more does not come out: where the far end itself could give it, the answer is infinite. Needs a monotone
    /// curve; a part where the curve is flat (a saturated knee track) does not limit.
    [[nodiscard]] double highest_position(double reading, double slack) const noexcept;

    bool operator==(const LearnedTrack&) const = default;
};

[[nodiscard]] LearnedTrack straight_track(double start, double end) noexcept;

/// How far track `k` is from what track 1 says it should be, as a share of travel: |r_k − curve_k(p₁)| / |span_k|.
[[nodiscard]] double mismatch(const std::vector<LearnedTrack>& tracks, std::size_t k,
                              const std::array<double, sensing::max_tracks>& readings) noexcept;

/// The learned range of a pair: one curve per track, and where the unpowered blade stood.
struct LearnedRange {
    std::vector<LearnedTrack> pedal;
    std::vector<LearnedTrack> throttle;
    double default_opening = 0.0;  ///< [share of learned throttle travel]
    std::string pedal_name{};      ///< what it was learned with, for reports only; the controller cannot know it
    std::string body_name{};
    double supply = 0.0;      ///< [V] under which it was learned; 0: not known
    double learned_at = 0.0;  ///< [s] since key-on
    int count = 0;            ///< how many learns the controller had accepted, this one included; 0: made by hand

    bool operator==(const LearnedRange&) const = default;
};

/// Refuses what cannot be a learned range: too few or too many tracks, a reading that is not a share of full scale, a
/// track whose two ends read the same, a default position outside the travel. Throws InvalidParameter.
void check(const LearnedRange& range, const std::string& path);

}  // namespace twintrack::control
