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
struct LearnedTrack {
    std::array<double, curve_knots> curve{};  ///< [share of converter full scale] at positions 0, 1/32, … 1

    [[nodiscard]] double start() const noexcept { return curve.front(); }
    [[nodiscard]] double end() const noexcept { return curve.back(); }
    [[nodiscard]] double span() const noexcept { return end() - start(); }

    /// Reading expected at `position` (0 … 1, extended in a straight line beyond the ends).
    [[nodiscard]] double expected(double position) const noexcept;
    /// Position [–] for a reading: linear between the ends' readings, not held at 0 and 1.
    [[nodiscard]] double linear_position(double reading) const noexcept;
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
    std::string pedal_name;        ///< what it was learned with, for reports only; the controller cannot know it
    std::string body_name;
};

}  // namespace twintrack::control
