// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>

#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/signals.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/monitor/check.hpp"

namespace twintrack::monitor {

/// How far tracks i < j disagree, as a share of travel: each further track is held against what the first track makes
/// it expect, and two further tracks against each other by the same measure.
///
///     d_k = (r_k − c_k(p₁))/s_k,   ∣d_i − d_j∣,   d₁ = 0
[[nodiscard]] inline double disagreement(const std::vector<control::LearnedTrack>& tracks, std::size_t i, std::size_t j,
                                         const control::Readings& readings) noexcept {
    if (i == 0) return control::mismatch(tracks, j, readings);
    const double position = tracks[0].linear_position(readings[0]);
    const auto lead = [&](std::size_t k) { return (readings[k] - tracks[k].expected(position)) / tracks[k].span(); };
    return abs(lead(i) - lead(j));
}

/// Of the pairs of three tracks, in this order: 1–2, 1–3, 2–3.
template <class T>
using Pairs = std::array<T, 3>;

/// Two of three: which track is outvoted, by which pairs differ and how far (student-competition rules 2024, T.4.2.6,
/// IC.4.4.5: two that agree may go on). Where two pairs differ, the track in both; where one does, the track of it that
/// is further from the third; where none or all do, none.
[[nodiscard]] constexpr std::optional<std::size_t> outvoted(const Pairs<bool>& differ,
                                                            const Pairs<double>& distance) noexcept {
    const int count = differ[0] + differ[1] + differ[2];
    if (count == 2) return differ[2] ? (differ[1] ? 2 : 1) : 0;
    if (count != 1) return std::nullopt;
    if (differ[0]) return distance[1] > distance[2] ? 0 : 1;
    if (differ[1]) return distance[0] > distance[2] ? 0 : 2;
    return distance[0] > distance[1] ? 1 : 2;
}

/// The tracks of one assembly in volts, by the characteristics the controller was built for and not by those it has
/// learned: V₂ = a + b V₁ within a limit. It detects that a part of another kind is plugged in, whatever was learned.
/// Opposed tracks: a = 5 V, b = −1; half slope: a = 0, b = 1/2. Off unless the parts are known.
struct VoltsLine {
    bool enabled = false;
    double offset = 0.0;  ///< a [V]
    double slope = 0.5;   ///< b
};

[[nodiscard]] const Description& description(Tag<VoltsLine>);

struct VoltsParameters {
    VoltsLine pedal{}, throttle{};
    double limit = 0.2;  ///< [V] of published service texts (sum of tracks 5.0 ± 0.2 V, tutorial level)
    CheckParameters check{};
};

[[nodiscard]] const Description& description(Tag<VoltsParameters>);

[[nodiscard]] inline bool off_the_line(const VoltsLine& line, double limit, double first, double second) noexcept {
    return abs(second - line.offset - line.slope * first) > limit;
}

}  // namespace twintrack::monitor
