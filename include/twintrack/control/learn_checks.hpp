// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <string>
#include <vector>

#include "twintrack/control/learn_parameters.hpp"
#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/unit.hpp"

namespace twintrack::control {

/// What the learn read of the blade, and whether it can be believed.
struct BladeFindings {
    Readings closed{}, open{}, unpowered{};
    std::vector<LearnedTrack> curves;
    double gap = 0.0;  ///< widest part of the travel without a reading
};

/// What the learn read of the pedal.
struct PedalFindings {
    Readings rest{}, first_press{}, second_press{};
    std::vector<LearnedTrack> curves;
    double gap = 0.0;
};

inline constexpr double gap_most = 0.1;                ///< share of travel, about three knots of a curve
inline constexpr double turn_back_most = 0.02;         ///< share of span a curve may run backwards
inline constexpr double default_opening_most = 0.40;   ///< share of travel; typical bodies 6 … 15 %
inline constexpr double default_mismatch_most = 0.05;  ///< share of travel, tracks against curves, blade released
inline constexpr double alike_most = 0.02;             ///< share of full scale: two tracks nearer than this are one

/// Each answers with one sentence, or nothing when there is nothing to say against it.
[[nodiscard]] std::string supply_problem(const LearnParameters& p, double supply);
[[nodiscard]] std::string band_problem(const LearnParameters& p, const char* assembly, const Readings& now,
                                       std::size_t tracks);
[[nodiscard]] std::string movement_problem(const BladeFindings& f, std::size_t tracks, double duty);
[[nodiscard]] std::string span_problem(const char* assembly, const Readings& start, const Readings& end,
                                       std::size_t tracks, double first_least, double other_least);
/// These two need curves, so spans first.
[[nodiscard]] std::string blade_problem(const BladeFindings& f);
[[nodiscard]] std::string pedal_problem(const LearnParameters& p, const PedalFindings& f);

/// Share of the blade's travel at which the springs left it, by the first track.
[[nodiscard]] double default_opening(const BladeFindings& f);

/// "12.3 %"
[[nodiscard]] std::string percent(double share);

/// max over the tracks of |a − b|
[[nodiscard]] double largest_difference(const Readings& a, const Readings& b, std::size_t tracks) noexcept;

}  // namespace twintrack::control
