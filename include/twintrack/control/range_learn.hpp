// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>

#include "twintrack/control/curve_collector.hpp"
#include "twintrack/control/learn_checks.hpp"
#include "twintrack/control/learn_parameters.hpp"
#include "twintrack/control/learn_state.hpp"
#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/pid.hpp"
#include "twintrack/control/range_store.hpp"
#include "twintrack/control/signals.hpp"
#include "twintrack/control/stillness.hpp"

/// Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
/// engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
namespace twintrack::control {

struct LearnResult {
    bool accepted = false;
    LearnState stopped_in = LearnState::precheck;  ///< the step it was in when it was refused
    std::string reason;                            ///< one sentence with the numbers; empty when accepted
    std::optional<LearnedRange> range;
    Refusal refusal = Refusal::none;
    double measured = std::numeric_limits<double>::quiet_NaN();  ///< what the refusal looked at, and its limit;
    double limit = std::numeric_limits<double>::quiet_NaN();     ///< NaN where it is no number
    LearnMeasures measures;
};

/// The range learn as a state machine with the shape of a controller; the foot acts by itself.
///
/// Blade first: a slow servo on the raw readings pushes it onto the closed stop with limited duty and lets go, so that
/// the opener spring lifts it to the default position; the servo sweeps it to the open stop and lets go again, and the
/// return spring is timed. Then the pedal: rest, press, release, press, release. The first track of each assembly is
/// the measure of travel, whatever its slope; the further tracks are stored as curves over it, so half-slope, offset,
/// opposed, knee and three-track arrangements need no setting. Movement is taken from all tracks together, so a dead
/// first track is found by its span and not by waiting. The end of the pedal's travel is the mean of the two presses.
/// What is accepted is written into the store, some bytes each tick. Names in the learned range are the caller's.
class RangeLearn {
public:
    static constexpr double precheck_time = 0.1;   ///< [s]
    static constexpr double average_time = 0.1;    ///< [s] of each averaged reading
    static constexpr double bad_time = 0.05;       ///< [s] a supply or a reading may be out of its window
    static constexpr std::size_t write_rate = 32;  ///< [bytes per tick] into the store

    /// Two or three tracks each; throws InvalidParameter. `store` holds what was learned before.
    RangeLearn(const LearnParameters& p, std::size_t pedal_tracks, std::size_t throttle_tracks, Time period,
               RangeStore store = {}, std::string pedal_name = {}, std::string body_name = {});

    Command step(const Input& in);
    [[nodiscard]] LearnState state() const noexcept { return state_; }
    [[nodiscard]] bool finished() const noexcept {
        return state_ == LearnState::accepted || state_ == LearnState::refused;
    }
    [[nodiscard]] const LearnResult& result() const noexcept { return result_; }
    /// The memory as it is now, in the middle of a write too.
    [[nodiscard]] const RangeStore& store() const noexcept { return store_; }

private:
    void go(LearnState next);
    void refuse(Problem problem);
    bool refused(Problem problem);
    [[nodiscard]] Problem standing_problem(const Input& in) const;
    [[nodiscard]] Problem late() const;
    double act(const Input& in);
    double drive_toward(const Readings& start, const Input& in, double most);
    double close(const Input& in);
    double sweep(const Input& in);
    void release(const Input& in);
    void average_default(const Input& in);
    void rest(const Input& in);
    void judge_blade();
    void press(const Input& in, Readings& peak);
    void after_press(bool pressing, double move, double peak);
    void judge_pedal(const Input& in);
    void commit();

    LearnParameters p_;
    std::size_t pedal_tracks_, throttle_tracks_;
    double period_;  ///< [s]
    RangeStore store_;
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
    double reference_ = 0.0;  ///< [share of full scale] the servo should have covered
    std::array<Readings, 8> recent_{};
    std::size_t recent_count_ = 0;
    double peak_move_ = 0.0;  ///< [share of full scale] of the press under way
    double back_time_ = 0.0;  ///< [s] the pedal has been back at rest
    LearnedRange found_;      ///< what will be written
};

}  // namespace twintrack::control
