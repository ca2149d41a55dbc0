// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/range_learn.hpp"

#include <algorithm>
#include <cassert>

namespace twintrack::control {

namespace {

/// The servo: duty per share of full scale. Soft (a blade of 1.5 rad and 0.75 of full scale sees about 35 V/rad) so
/// that it needs no model of the body; friction and the springs' jump at the default position are left to I.
PidParameters servo_parameters(double most) {
    return {.proportional = 5.0, .integral = 30.0, .derivative = 0.05, .derivative_filter = 0.005, .limit = most};
}

std::size_t checked_tracks(std::size_t tracks, const char* where) {
    require(static_cast<double>(tracks), {2.0, static_cast<double>(sensing::max_tracks)}, where, "", "tracks in use");
    return tracks;
}

const LearnParameters& checked(const LearnParameters& p) {
    validate(p, "learn");
    return p;
}

[[maybe_unused]] bool known(LearnState from, LearnState to) {
    const auto allowed = learn_transitions();
    return std::any_of(allowed.begin(), allowed.end(),
                       [&](const LearnTransition& t) { return t.from == from && t.to == to; });
}

}  // namespace

RangeLearn::RangeLearn(const LearnParameters& p, std::size_t pedal_tracks, std::size_t throttle_tracks, Time period,
                       RangeStore store, std::string pedal_name, std::string body_name)
    : p_(checked(p)),
      pedal_tracks_(checked_tracks(pedal_tracks, "learn.pedal_tracks")),
      throttle_tracks_(checked_tracks(throttle_tracks, "learn.throttle_tracks")),
      period_(seconds(period)),
      store_(std::move(store)),
      blade_still_(throttle_tracks, p_.still_band, period_),
      pedal_still_(pedal_tracks, p_.still_band, period_),
      servo_(pid_coefficients(servo_parameters(1.0), period_)) {
    found_.pedal_name = std::move(pedal_name);
    found_.body_name = std::move(body_name);
}

void RangeLearn::go(LearnState next) {
    assert(known(state_, next));
    state_ = next;
    elapsed_ = 0.0;
    blade_still_.restart();
    pedal_still_.restart();
    throttle_.restart();
    pedal_.restart();
    peak_move_ = 0.0;
    back_time_ = 0.0;
}

void RangeLearn::refuse(Problem problem) {
    result_.stopped_in = state_;
    result_.refusal = problem.refusal;
    result_.reason = std::move(problem.sentence);
    result_.measured = problem.measured;
    result_.limit = problem.limit;
    state_ = LearnState::refused;
}

bool RangeLearn::refused(Problem problem) {
    if (!problem) return false;
    refuse(std::move(problem));
    return true;
}

Problem RangeLearn::standing_problem(const Input& in) const {
    if (!in.key_on) return {Refusal::key_off, "The key was turned off; turn it on and begin again.", 0.0, 1.0};
    if (!in.engine_still)
        return {Refusal::engine_turns, "The engine turns; the learn moves the blade, so stop the engine first.", 1.0,
                0.0};
    if (!in.motor_permitted)
        return {Refusal::motor_not_permitted,
                "The monitor does not permit the motor; mend what its trouble code names first.", 0.0, 1.0};
    if (Problem p = supply_problem(p_, in.supply)) return p;
    if (Problem p = band_problem(p_, "Pedal", in.pedal, pedal_tracks_)) return p;
    return band_problem(p_, "Throttle", in.throttle, throttle_tracks_);
}

Problem RangeLearn::late() const {
    const double moved = peak_move_, least = p_.limits.pedal_span_least;
    switch (state_) {
        case LearnState::first_press:
            return {Refusal::not_pressed,
                    "The pedal was not pressed fully: its tracks moved by " + percent(moved) +
                        " of full scale at most, at least " + percent(least) + " is needed.",
                    moved, least};
        case LearnState::second_press:
            return {Refusal::pressed_once,
                    "The pedal was pressed fully only once: the second time its tracks moved by " + percent(moved) +
                        " of full scale, at least " + percent(least) + " is needed; two presses are.",
                    moved, least};
        case LearnState::first_release:
        case LearnState::second_release:
            return {Refusal::not_released,
                    "The pedal did not come back to its rest: track 1 read " + percent(foot_.rest[0]) +
                        " of full scale at rest; release it fully, or start again with the foot off the pedal.",
                    recent_[(recent_count_ + recent_.size() - 1) % recent_.size()][0], foot_.rest[0]};
        case LearnState::resting:
            return {Refusal::pedal_never_still,
                    "Pedal or blade did not keep still for " + number(p_.settle_time) +
                        " s: take the foot off the pedal, or look for a noisy track.",
                    elapsed_, p_.step_limit};
        default:
            return {Refusal::blade_never_still,
                    "The blade did not come to rest within " + number(p_.step_limit) + " s in step \"" +
                        name_of(state_) + "\": look for a noisy track, a slipping gear or a weak spring.",
                    elapsed_, p_.step_limit};
    }
}

Command RangeLearn::step(const Input& in) {
    Command out;
    if (finished()) return out;
    elapsed_ += period_;
    Problem problem = standing_problem(in);
    bad_time_ = problem ? bad_time_ + period_ : 0.0;
    if (bad_time_ > bad_time) {
        refuse(std::move(problem));
        return out;
    }
    const LearnState before = state_;
    const double duty = act(in);
    if (state_ == before && elapsed_ > p_.step_limit) refuse(late());
    if (finished() || duty == 0.0) return out;
    out.mode = plant::BridgeMode::drive;
    out.duty = clamp(duty * p_.nominal_supply / max(in.supply, max(p_.supply_least, 1.0)), -1.0, 1.0);
    return out;
}

/// One tick of the state; returns the duty at nominal supply.
double RangeLearn::act(const Input& in) {
    switch (state_) {
        case LearnState::precheck:
            throttle_.add(in.throttle);
            if (elapsed_ >= precheck_time && bad_time_ == 0.0) {
                start_ = throttle_.mean();
                go(LearnState::closing);
            }
            return 0.0;
        case LearnState::closing:
        case LearnState::closed:
            return close(in);
        case LearnState::sweeping_open:
        case LearnState::open:
            return sweep(in);
        case LearnState::releasing_closed:
        case LearnState::releasing_open:
            release(in);
            return 0.0;
        case LearnState::default_position:
            average_default(in);
            return 0.0;
        case LearnState::resting:
            rest(in);
            return 0.0;
        case LearnState::first_press:
        case LearnState::first_release:
            press(in, foot_.first_press);
            return 0.0;
        case LearnState::second_press:
        case LearnState::second_release:
            press(in, foot_.second_press);
            return 0.0;
        case LearnState::validating:
            judge_pedal(in);
            return 0.0;
        default:
            commit();
            return 0.0;
    }
}

void RangeLearn::commit() {
    if (!store_.write(write_rate)) return;
    result_.accepted = true;
    result_.stopped_in = LearnState::accepted;
    result_.range = store_.read().range;
    go(LearnState::accepted);
}

}  // namespace twintrack::control
