// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/core/fields.hpp"

namespace twintrack::control {

/// Settings of the range learn. Duties are meant at the nominal supply and scaled by the measured one.
/// Common practice, no source: both stops, release, two full pedal presses. The values are ours.
struct LearnParameters {
    double nominal_supply = 13.5;       ///< [V]
    double supply_least = 10.0;         ///< [V]
    double supply_most = 16.0;          ///< [V]
    double closing_duty = 0.35;         ///< toward the closed stop
    double opening_duty = 0.70;         ///< most that the sweep to the open stop may use
    double sweep_rate = 0.25;           ///< [share of full scale / s] mean of the tracks
    double settle_time = 0.15;          ///< [s] without movement that counts as arrived
    double step_limit = 8.0;            ///< [s] any step may take before the learn gives up
    double throttle_span_least = 0.30;  ///< [share of full scale] of the first throttle track
    double pedal_span_least = 0.20;     ///< [share of full scale] of the first pedal track
    double second_span_least = 0.10;    ///< [share of full scale] of any other track
    double press_agreement = 0.03;      ///< [share of span] between the two presses
    bool pedal_rises = true;            ///< the first pedal track must rise when pressed
    double band_low = 0.04;             ///< electrical band [share of full scale]
    double band_high = 0.96;
};

constexpr auto fields(Tag<LearnParameters>) {
    using P = LearnParameters;
    return std::make_tuple(
        Field<P, double>{&P::nominal_supply, "nominal_supply", "V", "supply the duties are meant for", {6.0, 32.0}},
        Field<P, double>{&P::supply_least, "supply_least", "V", "lowest supply for a learn", {0.0, 32.0}},
        Field<P, double>{&P::supply_most, "supply_most", "V", "highest supply for a learn", {0.0, 64.0}},
        Field<P, double>{&P::closing_duty, "closing_duty", "", "duty toward the closed stop", {0.01, 1.0}},
        Field<P, double>{&P::opening_duty, "opening_duty", "", "largest duty toward the open stop", {0.01, 1.0}},
        Field<P, double>{
            &P::sweep_rate, "sweep_rate", "1/s", "speed of the sweep, share of full scale per second", {0.01, 2.0}},
        Field<P, double>{
            &P::settle_time, "settle_time", "s", "time without movement that counts as arrived", {0.01, 5.0}},
        Field<P, double>{&P::step_limit, "step_limit", "s", "longest time any step may take", {0.1, 600.0}},
        Field<P, double>{&P::throttle_span_least,
                         "throttle_span_least",
                         "",
                         "least span of the first throttle track, share of full scale",
                         {0.02, 1.0}},
        Field<P, double>{&P::pedal_span_least,
                         "pedal_span_least",
                         "",
                         "least span of the first pedal track, share of full scale",
                         {0.02, 1.0}},
        Field<P, double>{&P::second_span_least,
                         "second_span_least",
                         "",
                         "least span of any other track, share of full scale",
                         {0.02, 1.0}},
        Field<P, double>{&P::press_agreement,
                         "press_agreement",
                         "",
                         "largest difference of the two presses, share of span",
                         {0.001, 0.5}},
        Field<P, bool>{&P::pedal_rises, "pedal_rises", "", "the first pedal track must rise when pressed"},
        Field<P, double>{
            &P::band_low, "band_low", "", "lower end of the electrical band, share of full scale", {0.0, 0.5}},
        Field<P, double>{
            &P::band_high, "band_high", "", "upper end of the electrical band, share of full scale", {0.5, 1.0}});
}

/// The supply window must be in order.
void check(const LearnParameters& p, const std::string& path);

}  // namespace twintrack::control
