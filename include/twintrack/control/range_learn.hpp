// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <utility>

#include "twintrack/control/curve_collector.hpp"
#include "twintrack/control/learn_checks.hpp"
#include "twintrack/control/learn_parameters.hpp"
#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/pid.hpp"
#include "twintrack/control/stillness.hpp"
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

struct LearnResult {
    bool accepted = false;
    LearnState stopped_in = LearnState::precheck;  ///< the step it was in when it was refused
    std::string reason;                            ///< one sentence with the numbers; empty when accepted
    std::optional<LearnedRange> range;
};

/// The range learn as a state machine with the shape of a controller; the foot acts by itself.
///
/// Blade first: a ramp to `closing_duty` presses it on the closed stop; a slow servo on the raw readings sweeps it
/// open and fills the curves; the motor lets go. Then the pedal: rest, press, release, press, release. The first track
/// of each assembly is the measure of travel, whatever its slope; the further tracks are stored as curves over it, so
/// half-slope, offset, opposed, knee and three-track arrangements need no setting. Movement is taken from all
/// tracks together, so a dead first track is found by its span and not by waiting. The end of the pedal's travel
/// is the mean of the two presses. Names in the learned range are left for the caller to fill.
class RangeLearn {
public:
    static constexpr double precheck_time = 0.1;      ///< [s]
    static constexpr double closing_ramp = 0.2;       ///< [s] to the full closing duty
    static constexpr double average_time = 0.1;       ///< [s] of each averaged reading
    static constexpr double bad_time = 0.05;          ///< [s] a supply or a reading may be out of its window
    static constexpr double still_band = 0.004;       ///< [share of full scale]
    static constexpr double closing_move_most = 0.2;  ///< [share of full scale] from the default to the closed stop

    /// Two or three tracks each; throws InvalidParameter.
    RangeLearn(const LearnParameters& p, std::size_t pedal_tracks, std::size_t throttle_tracks, Time period);

    Command step(const Input& in);
    [[nodiscard]] LearnState state() const noexcept { return state_; }
    [[nodiscard]] bool finished() const noexcept {
        return state_ == LearnState::accepted || state_ == LearnState::refused;
    }
    [[nodiscard]] const LearnResult& result() const noexcept { return result_; }

private:
    void go(LearnState next) noexcept;
    void refuse(std::string reason);
    void refuse_if(std::string problem) {
        if (!problem.empty()) refuse(std::move(problem));
    }
    [[nodiscard]] std::string standing_problem(const Input& in) const;
    [[nodiscard]] std::string late() const;
    double act(const Input& in);
    double close(const Input& in);
    double sweep(const Input& in);
    void rest(const Input& in);
    void judge_blade();
    void press(const Input& in, Readings& peak);
    void judge_pedal();

    LearnParameters p_;
    std::size_t pedal_tracks_, throttle_tracks_;
    double period_;  ///< [s]
    LearnState state_ = LearnState::precheck;
    double elapsed_ = 0.0;   ///< [s] in this state
    double bad_time_ = 0.0;  ///< [s] something has been out of its window
    LearnResult result_;

    Stillness blade_still_, pedal_still_;
    Average throttle_, pedal_;
    Readings start_{};  ///< throttle tracks before the motor was powered
    BladeFindings blade_;
    PedalFindings foot_;
    CurveCollector blade_curve_, foot_curve_;
    PidCoefficients<double> servo_;
    PidState<double> servo_state_;
    double reference_ = 0.0;  ///< [share of full scale] the sweep should have covered
    std::array<Readings, 8> recent_{};
    std::size_t recent_count_ = 0;
    double peak_move_ = 0.0;  ///< [share of full scale] of the press under way
};

}  // namespace twintrack::control
