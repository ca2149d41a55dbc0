// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <utility>

#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/unit.hpp"

namespace twintrack::control {

/// Steps of the range learn, in order.
enum class LearnState {
    precheck,       ///< supply inside its window, readings inside the electrical band
    closing,        ///< limited duty toward the closed stop, waits until the blade settles
    closed,         ///< averages the throttle tracks at the closed stop
    sweeping_open,  ///< slow drive to the open stop; the curves are filled on the way
    open,           ///< averages at the open stop
    releasing,      ///< motor off; the springs take the blade to the default position
    resting,        ///< averages at the default position and the pedal at rest
    first_press,    ///< waits for a full pedal press; the curves are filled
    first_release,
    second_press,  ///< the second must agree with the first
    second_release,
    validating,
    accepted,
    refused
};

constexpr std::array<std::pair<LearnState, const char*>, 14> names(Tag<LearnState>) {
    using S = LearnState;
    return {{{S::precheck, "precheck"},
             {S::closing, "closing"},
             {S::closed, "closed"},
             {S::sweeping_open, "sweeping open"},
             {S::open, "open"},
             {S::releasing, "releasing"},
             {S::resting, "resting"},
             {S::first_press, "first press"},
             {S::first_release, "first release"},
             {S::second_press, "second press"},
             {S::second_release, "second release"},
             {S::validating, "validating"},
             {S::accepted, "accepted"},
             {S::refused, "refused"}}};
}

struct LearnParameters {
    double supply_least = 10.0;         ///< [V]
    double supply_most = 16.0;          ///< [V]
    double closing_duty = 0.35;         ///< toward either stop, at nominal supply
    double settle_time = 0.15;          ///< [s] without movement that counts as arrived
    double step_limit = 8.0;            ///< [s] any step may take before the learn gives up
    double throttle_span_least = 0.30;  ///< [share of full scale] of the first throttle track
    double pedal_span_least = 0.20;     ///< [share of full scale] of the first pedal track
    double second_span_least = 0.10;    ///< [share of full scale] of any other track
    double press_agreement = 0.03;      ///< [share of span] between the two presses
    double band_low = 0.04;             ///< electrical band [share of full scale]
    double band_high = 0.96;
};
// (described by fields() like every parameter struct)

struct LearnResult {
    bool accepted = false;
    LearnState stopped_in = LearnState::precheck;  ///< the step it was in when it was refused
    std::string reason;                            ///< one sentence with the numbers; empty when accepted
    std::optional<LearnedRange> range;
};

/// The range learn as a state machine with the shape of a controller; the foot acts by itself.
class RangeLearn {
public:
    RangeLearn(const LearnParameters& p, std::size_t pedal_tracks, std::size_t throttle_tracks, Time period);

    Command step(const Input& in);
    [[nodiscard]] LearnState state() const noexcept;
    [[nodiscard]] bool finished() const noexcept;
    [[nodiscard]] const LearnResult& result() const noexcept;
};

}  // namespace twintrack::control
