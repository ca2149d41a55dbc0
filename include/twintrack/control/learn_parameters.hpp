// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>

#include "twintrack/control/learn_limits.hpp"
#include "twintrack/core/fields.hpp"

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
    int presses = 2;               ///< full presses asked of the foot
    double band_low = 0.04;        ///< electrical band [share of full scale]
    double band_high = 0.96;
    LearnLimits limits{};  ///< what it believes
};

constexpr auto fields(Tag<LearnParameters>) {
    using P = LearnParameters;
    using F = Field<P, double>;
    return std::make_tuple(
        F{&P::nominal_supply, "nominal_supply", "V", "supply the duties are meant for", {6.0, 32.0}},
        F{&P::supply_least, "supply_least", "V", "lowest supply for a learn", {0.0, 32.0}},
        F{&P::supply_most, "supply_most", "V", "highest supply for a learn", {0.0, 64.0}},
        F{&P::closing_duty, "closing_duty", "", "largest duty toward the closed stop", {0.01, 1.0}},
        F{&P::opening_duty, "opening_duty", "", "largest duty toward the open stop", {0.01, 1.0}},
        F{&P::sweep_rate, "sweep_rate", "1/s", "speed of the sweep, share of full scale per second", {0.01, 2.0}},
        F{&P::settle_time, "settle_time", "s", "time without movement that counts as arrived", {0.01, 5.0}},
        F{&P::still_band, "still_band", "", "what counts as no movement, share of full scale", {0.0005, 0.2}},
        F{&P::step_limit, "step_limit", "s", "longest time any step may take", {0.1, 600.0}},
        Field<P, int>{&P::presses, "presses", "", "full presses asked of the foot", {1.0, 2.0}},
        F{&P::band_low, "band_low", "", "lower end of the electrical band, share of full scale", {0.0, 0.5}},
        F{&P::band_high, "band_high", "", "upper end of the electrical band, share of full scale", {0.5, 1.0}},
        Field<P, LearnLimits>{&P::limits, "limits", "", "what the learn believes"});
}

/// The supply window must be in order.
void check(const LearnParameters& p, const std::string& path);

/// How much a learn believes. The middle one is LearnParameters{}.
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
