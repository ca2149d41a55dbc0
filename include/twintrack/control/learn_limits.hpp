// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"

namespace twintrack::control {

/// Thresholds by which a range learn validates its readings. The values are ours (no source), but for the return time.
struct LearnLimits {
    double throttle_span_least = 0.30;  ///< [share of full scale] of the first throttle track
    double pedal_span_least = 0.20;     ///< [share of full scale] of the first pedal track
    double second_span_least = 0.10;    ///< [share of full scale] of any other track
    double closing_move_most = 0.25;  ///< [share of full scale] mean of the tracks, from the default to the closed stop
    double band_margin = 0.005;       ///< [share of full scale] between a learned end and the electrical band
    double gap_most = 0.10;           ///< [share of travel] without a reading, about three knots of a curve
    double turn_back_most = 0.02;     ///< [share of span] a curve may run backwards
    double bend_most = 0.05;          ///< [share of span] from a straight line or one with a single knee
    double alike_least = 0.02;        ///< [share of full scale] two tracks nearer than this are one
    double default_opening_most = 0.40;   ///< [share of travel]; typical bodies 6 … 15 %
    double default_opening_least = 0.0;   ///< [share of travel]; one on the closed stop itself is well, see at_stop
    double default_mismatch_most = 0.05;  ///< [share of travel] tracks against curves, blade released
    double default_repeat_most = 0.015;   ///< [share of travel] released from below and from above: the friction band
    double return_time_most = 1.0;        ///< [s] open stop to rest; 49 CFR 571.124 asks for 1 s (from memory)
    double noise_most = 0.002;            ///< [share of full scale] rms of any track at rest
    double press_agreement = 0.03;        ///< [share of span] between the two presses
    bool pedal_rises = true;              ///< the first pedal track must rise when pressed

    /// A body without an opener spring rests on its closed stop, one with it rests clear of it; a blade in between is
    /// one that friction holds. [share of travel] that counts as on the stop.
    static constexpr double at_stop = 0.005;
};

[[nodiscard]] const Description& description(Tag<LearnLimits>);

}  // namespace twintrack::control
