// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <span>
#include <string>
#include <utility>

#include "twintrack/core/described.hpp"

namespace twintrack::control {

/// Steps of the range learn, in order.
enum class LearnState {
    precheck,          ///< key, engine, supply, readings inside the electrical band
    closing,           ///< limited duty toward the closed stop, waits until the blade settles
    closed,            ///< averages the throttle tracks at the closed stop
    releasing_closed,  ///< motor off; the opener spring lifts the blade
    default_position,  ///< averages at the default position, reached from below
    sweeping_open,     ///< slow drive to the open stop; the curves are filled on the way
    open,              ///< averages at the open stop
    releasing_open,    ///< motor off; the return spring takes the blade back, timed
    resting,           ///< averages at the default position, reached from above, and the pedal at rest
    first_press,       ///< waits for a full pedal press; the curves are filled
    first_release,
    second_press,  ///< the second must agree with the first
    second_release,
    validating,
    committing,  ///< writes the new record beside the old one
    accepted,
    refused
};

constexpr std::array<std::pair<LearnState, const char*>, 17> names(Tag<LearnState>) {
    using S = LearnState;
    return {{{S::precheck, "precheck"},
             {S::closing, "closing"},
             {S::closed, "closed"},
             {S::releasing_closed, "releasing from closed"},
             {S::default_position, "default position"},
             {S::sweeping_open, "sweeping open"},
             {S::open, "open"},
             {S::releasing_open, "releasing from open"},
             {S::resting, "resting"},
             {S::first_press, "first press"},
             {S::first_release, "first release"},
             {S::second_press, "second press"},
             {S::second_release, "second release"},
             {S::validating, "validating"},
             {S::committing, "committing"},
             {S::accepted, "accepted"},
             {S::refused, "refused"}}};
}

/// One arrow of the procedure. Besides these, every step but the last two may end in `refused`.
struct LearnTransition {
    LearnState from, to;
    const char* when;
};

/// Every arrow there is; RangeLearn takes no other.
[[nodiscard]] std::span<const LearnTransition> learn_transitions() noexcept;

/// The arrows as a diagram in Mermaid's text form, as lib/control/README.md shows it.
[[nodiscard]] std::string learn_diagram();

}  // namespace twintrack::control
