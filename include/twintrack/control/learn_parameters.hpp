// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>

#include "twintrack/control/learn_limits.hpp"
#include "twintrack/core/described.hpp"

namespace twintrack::control {

/// Settings of the range learn. Duties are meant at the nominal supply and scaled by the measured one.
/// Common practice, no source: both stops, release, two full pedal presses. The values are ours.
struct LearnParameters {
    double nominal_supply = 13.5;  ///< [V]
    double supply_least = 10.0;    ///< [V]
    double supply_most = 16.0;     ///< [V]
    double closing_duty = 0.35;    ///< most that may push toward the closed stop
    double opening_duty = 0.70;    ///< most that the sweep to the open stop may use
    double sweep_rate = 0.25;      ///< [share of full scale / s] mean of the tracks
    double settle_time = 0.15;     ///< [s] without movement that counts as arrived
    double still_band = 0.004;     ///< [share of full scale] half width of what counts as no movement
    double step_limit = 8.0;       ///< [s] any step may take before the learn gives up
    int presses = 2;               ///< full presses of the pedal
    double band_low = 0.04;        ///< electrical band [share of full scale]
    double band_high = 0.96;
    LearnLimits limits{};  ///< thresholds of its validation
};

[[nodiscard]] const Description& description(Tag<LearnParameters>);

/// The supply window must be in order.
void check(const LearnParameters& p, const std::string& path);

/// How strict a learn is. The middle one is LearnParameters{}.
enum class Strictness {
    strict,    ///< as narrow as healthy parts allow
    standard,  ///< named "default"
    careless   ///< takes what it reads: one press, any supply, no comparison — for the study of what that leads to
};

constexpr std::array<std::pair<Strictness, const char*>, 3> names(Tag<Strictness>) {
    return {{{Strictness::strict, "strict"}, {Strictness::standard, "default"}, {Strictness::careless, "careless"}}};
}

[[nodiscard]] LearnParameters learn_parameters(Strictness strictness);

}  // namespace twintrack::control
