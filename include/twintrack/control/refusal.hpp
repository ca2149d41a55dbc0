// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <limits>
#include <string>
#include <utility>

#include "twintrack/core/described.hpp"

namespace twintrack::control {

/// Why a range learn was refused.
enum class Refusal {
    none,
    key_off,
    engine_turns,
    motor_not_permitted,
    supply_out_of_window,
    reading_out_of_band,
    blade_never_still,     ///< a wait for the blade ended by its time limit
    pedal_never_still,     ///< the same for the pedal at rest
    wrong_direction,       ///< the blade went far when it should have closed
    no_movement,           ///< no track moved at all
    span_too_small,        ///< of one track
    near_band,             ///< a learned end lies too close to the diagnostic band
    travel_skipped,        ///< readings are missing over a part of the travel
    runs_backwards,        ///< a track turned back while track 1 went on
    bent,                  ///< a track is no straight line against track 1, nor one with a single knee
    tracks_alike,          ///< two tracks read the same
    default_outside,       ///< released, the blade stayed where no spring leaves it
    default_disagrees,     ///< released, the tracks disagree
    default_not_repeated,  ///< released from below and from above, it stood at different places
    slow_return,           ///< the springs took too long
    noisy,
    not_pressed,
    pressed_once,
    not_released,
    presses_differ,
    pedal_falls,  ///< track 1 falls when the pedal is pressed
    interrupted,  ///< the power was cut
    own_reason,   ///< a learn of one's own refused
    unit_failed   ///< a learn of one's own failed
};

constexpr std::array<std::pair<Refusal, const char*>, 29> names(Tag<Refusal>) {
    using R = Refusal;
    return {{{R::none, "none"},
             {R::key_off, "key off"},
             {R::engine_turns, "engine turns"},
             {R::motor_not_permitted, "motor not permitted"},
             {R::supply_out_of_window, "supply out of window"},
             {R::reading_out_of_band, "reading out of band"},
             {R::blade_never_still, "blade never still"},
             {R::pedal_never_still, "pedal never still"},
             {R::wrong_direction, "wrong direction"},
             {R::no_movement, "no movement"},
             {R::span_too_small, "span too small"},
             {R::near_band, "near band"},
             {R::travel_skipped, "travel skipped"},
             {R::runs_backwards, "runs backwards"},
             {R::bent, "bent"},
             {R::tracks_alike, "tracks alike"},
             {R::default_outside, "default outside"},
             {R::default_disagrees, "default disagrees"},
             {R::default_not_repeated, "default not repeated"},
             {R::slow_return, "slow return"},
             {R::noisy, "noisy"},
             {R::not_pressed, "not pressed"},
             {R::pressed_once, "pressed once"},
             {R::not_released, "not released"},
             {R::presses_differ, "presses differ"},
             {R::pedal_falls, "pedal falls"},
             {R::interrupted, "interrupted"},
             {R::own_reason, "own reason"},
             {R::unit_failed, "unit failed"}}};
}

/// What a check has to say against a learn: nothing, or a name, a sentence for who stands beside the bench, and the
/// numbers (in the unit the sentence has; shares as shares, NaN where there is no number).
struct Problem {
    Refusal refusal = Refusal::none;
    std::string sentence;
    double measured = std::numeric_limits<double>::quiet_NaN();
    double limit = std::numeric_limits<double>::quiet_NaN();

    explicit operator bool() const noexcept { return refusal != Refusal::none; }
};

}  // namespace twintrack::control
