// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "twintrack/control/learn_parameters.hpp"
#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/refusal.hpp"
#include "twintrack/control/signals.hpp"

namespace twintrack::control {

/// The learn's readings of the blade, and whether they are valid.
struct BladeFindings {
    Readings closed{}, open{};
    Readings lifted{};     ///< at the default position, reached from the closed stop
    Readings unpowered{};  ///< at the default position, reached from the open stop
    std::vector<LearnedTrack> curves;
    double gap = 0.0;          ///< widest part of the travel without a reading
    double opener_time = 0.0;  ///< [s] from the closed stop to rest
    double return_time = 0.0;  ///< [s] from the open stop to rest
    double noise = 0.0;        ///< [share of full scale] largest rms of a track at rest
};

/// What the learn read of the pedal.
struct PedalFindings {
    Readings rest{}, first_press{}, second_press{};
    std::vector<LearnedTrack> curves;
    double gap = 0.0;
    double noise = 0.0;  ///< [share of full scale] largest rms of a track at rest
};

/// The learn in numbers; NaN for steps not reached.
struct LearnMeasures {
    static constexpr double none = std::numeric_limits<double>::quiet_NaN();
    double default_opening = none;   ///< [share of travel]
    double default_repeat = none;    ///< [share of travel] from below and from above
    double opener_time = none;       ///< [s]
    double return_time = none;       ///< [s]
    double throttle_bend = none;     ///< [share of span] worst track
    double throttle_noise = none;    ///< [share of full scale] rms
    double pedal_bend = none;        ///< [share of span]
    double pedal_noise = none;       ///< [share of full scale] rms
    double press_difference = none;  ///< [share of span]
};

/// Each returns a problem, or none.
[[nodiscard]] Problem supply_problem(const LearnParameters& p, double supply);
[[nodiscard]] Problem band_problem(const LearnParameters& p, const char* assembly, const Readings& now,
                                   std::size_t tracks);
[[nodiscard]] Problem movement_problem(const BladeFindings& f, std::size_t tracks, double duty);
[[nodiscard]] Problem span_problem(const char* assembly, const Readings& start, const Readings& end, std::size_t tracks,
                                   double first_least, double other_least);
/// The learned ends against the electrical band that the monitor will watch.
[[nodiscard]] Problem margin_problem(const LearnParameters& p, const char* assembly, const Readings& end,
                                     std::size_t tracks);
/// These two need curves, so spans first.
[[nodiscard]] Problem blade_problem(const LearnParameters& p, const BladeFindings& f);
[[nodiscard]] Problem pedal_problem(const LearnParameters& p, const PedalFindings& f);

/// Share of the blade's travel at which the springs left it, by the first track.
[[nodiscard]] double default_opening(const BladeFindings& f);
/// How far apart it stood when reached from below and from above [share of travel].
[[nodiscard]] double default_repeat(const BladeFindings& f);
/// Difference of the two presses [share of the larger one], by the first track.
[[nodiscard]] double press_difference(const PedalFindings& f);

/// Largest deviation [share of span] of a curve from the nearest line between its ends with at most one knee, the knee
/// at any of the curve's own knots: nothing for a straight, half-slope, opposed or saturating track, what is left is
/// wear, a bow or a bad contact.
[[nodiscard]] double bend(const LearnedTrack& track) noexcept;
/// The worst of the tracks.
[[nodiscard]] double largest_bend(const std::vector<LearnedTrack>& tracks) noexcept;

/// Four significant digits.
[[nodiscard]] std::string number(double value);
/// "12.3 %"
[[nodiscard]] std::string percent(double share);

/// max over the tracks of |a − b|
[[nodiscard]] double largest_difference(const Readings& a, const Readings& b, std::size_t tracks) noexcept;

}  // namespace twintrack::control
