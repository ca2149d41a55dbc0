// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/range_learn.hpp"

namespace twintrack::control {

namespace {

/// The sweep's servo: duty per share of full scale. Soft (a blade of 1.5 rad and 0.75 of full scale sees about 35
/// V/rad) so that it needs no model of the body; friction and the spring's jump at the default position are left to I.
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

/// mean over the tracks of |a − b|: grows as long as any track moves, so a saturated one does not stop the servo.
double mean_difference(const Readings& a, const Readings& b, std::size_t tracks) noexcept {
    double sum = 0.0;
    for (std::size_t k = 0; k < tracks; ++k) sum += abs(a[k] - b[k]);
    return sum / static_cast<double>(tracks);
}

const char* state_name(LearnState state) {
    for (const auto& [value, text] : names(Tag<LearnState>{}))
        if (value == state) return text;
    return "";
}

}  // namespace

void check(const LearnParameters& p, const std::string& path) {
    if (p.supply_least >= p.supply_most)
        throw InvalidParameter(path + ".supply_least", "must lie below supply_most (" + std::to_string(p.supply_most) +
                                                           " V); got " + std::to_string(p.supply_least) + " V");
}

RangeLearn::RangeLearn(const LearnParameters& p, std::size_t pedal_tracks, std::size_t throttle_tracks, Time period)
    : p_(checked(p)),
      pedal_tracks_(checked_tracks(pedal_tracks, "learn.pedal_tracks")),
      throttle_tracks_(checked_tracks(throttle_tracks, "learn.throttle_tracks")),
      period_(seconds(period)),
      blade_still_(throttle_tracks, still_band, period_),
      pedal_still_(pedal_tracks, still_band, period_),
      servo_(pid_coefficients(servo_parameters(p.opening_duty), period_)) {}

void RangeLearn::go(LearnState next) noexcept {
    state_ = next;
    elapsed_ = 0.0;
    blade_still_.restart();
    pedal_still_.restart();
    throttle_.restart();
    pedal_.restart();
    peak_move_ = 0.0;
}

void RangeLearn::refuse(std::string reason) {
    result_.stopped_in = state_;
    result_.reason = std::move(reason);
    state_ = LearnState::refused;
}

std::string RangeLearn::standing_problem(const Input& in) const {
    if (!in.motor_permitted) return "The monitor does not permit the motor; mend what its trouble code names first.";
    if (std::string text = supply_problem(p_, in.supply); !text.empty()) return text;
    if (std::string text = band_problem(p_, "Pedal", in.pedal, pedal_tracks_); !text.empty()) return text;
    return band_problem(p_, "Throttle", in.throttle, throttle_tracks_);
}

std::string RangeLearn::late() const {
    const double moved = peak_move_;
    switch (state_) {
        case LearnState::first_press:
            return "The pedal was not pressed fully: its tracks moved by " + percent(moved) +
                   " of full scale at most, at least " + percent(p_.pedal_span_least) + " is needed.";
        case LearnState::second_press:
            return "The pedal was pressed fully only once: the second time its tracks moved by " + percent(moved) +
                   " of full scale, at least " + percent(p_.pedal_span_least) + " is needed; two presses are.";
        case LearnState::first_release:
        case LearnState::second_release:
            return "The pedal did not come back to its rest: track 1 read " + percent(foot_.rest[0]) +
                   " of full scale at rest; release it fully, or start again with the foot off the pedal.";
        case LearnState::resting:
            return "Pedal or blade did not keep still for " + std::to_string(p_.settle_time) +
                   " s: take the foot off the pedal, or look for a noisy track.";
        default:
            return "The blade did not come to rest within " + std::to_string(p_.step_limit) + " s in step \"" +
                   state_name(state_) + "\": look for a noisy track, a slipping gear or a weak spring.";
    }
}

Command RangeLearn::step(const Input& in) {
    Command out;
    if (finished()) return out;
    elapsed_ += period_;
    std::string problem = standing_problem(in);
    bad_time_ = problem.empty() ? 0.0 : bad_time_ + period_;
    if (bad_time_ > bad_time) {
        refuse(std::move(problem));
        return out;
    }
    const LearnState before = state_;
    const double duty = act(in);
    if (state_ == before && elapsed_ > p_.step_limit) refuse(late());
    if (finished() || duty == 0.0) return out;
    out.mode = plant::BridgeMode::drive;
    out.duty = clamp(duty * p_.nominal_supply / max(in.supply, p_.supply_least), -1.0, 1.0);
    return out;
}

/// One tick of the state; answers with the duty at nominal supply.
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
        case LearnState::releasing:
            if (blade_still_.step(in.throttle) >= p_.settle_time) go(LearnState::resting);
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
        default:
            judge_pedal();
            return 0.0;
    }
}

double RangeLearn::close(const Input& in) {
    if (state_ == LearnState::closing) {
        const double share = min(elapsed_ / closing_ramp, 1.0);
        const double moved = largest_difference(in.throttle, start_, throttle_tracks_);
        if (moved > closing_move_most)
            refuse("The blade moved by " + percent(moved) + " of full scale while it was being closed, at most " +
                   percent(closing_move_most) +
                   " is believed: it opens instead (motor leads exchanged), or it did not start from its default "
                   "position.");
        else if (share == 1.0 && blade_still_.step(in.throttle) >= p_.settle_time)
            go(LearnState::closed);
        return -share * p_.closing_duty;
    }
    throttle_.add(in.throttle);
    if (elapsed_ >= average_time) {
        blade_.closed = throttle_.mean();
        reference_ = 0.0;
        servo_state_ = {};
        go(LearnState::sweeping_open);
    }
    return -p_.closing_duty;
}

double RangeLearn::sweep(const Input& in) {
    const double covered = mean_difference(in.throttle, blade_.closed, throttle_tracks_);
    reference_ = min(reference_ + p_.sweep_rate * period_, covered + 0.2);
    const auto [duty, next] = pid_step(servo_, servo_state_, reference_ - covered, 0.0, p_.opening_duty);
    servo_state_ = next;
    blade_curve_.add(in.throttle);
    if (state_ == LearnState::sweeping_open) {
        if (duty < 0.999 * p_.opening_duty)
            blade_still_.restart();
        else if (blade_still_.step(in.throttle) >= p_.settle_time)
            go(LearnState::open);
        return duty;
    }
    throttle_.add(in.throttle);
    if (elapsed_ >= average_time) {
        blade_.open = throttle_.mean();
        go(LearnState::releasing);
        return 0.0;
    }
    return duty;
}

void RangeLearn::rest(const Input& in) {
    const bool still = min(blade_still_.step(in.throttle), pedal_still_.step(in.pedal)) >= p_.settle_time;
    if (!still) {
        throttle_.restart();
        pedal_.restart();
        return;
    }
    throttle_.add(in.throttle);
    pedal_.add(in.pedal);
    if (throttle_.count() * period_ < average_time) return;
    blade_.unpowered = throttle_.mean();
    foot_.rest = pedal_.mean();
    judge_blade();
    recent_count_ = 0;
    if (!finished()) go(LearnState::first_press);
}

void RangeLearn::judge_blade() {
    refuse_if(movement_problem(blade_, throttle_tracks_, p_.opening_duty));
    if (finished()) return;
    refuse_if(span_problem("Throttle", blade_.closed, blade_.open, throttle_tracks_, p_.throttle_span_least,
                           p_.second_span_least));
    if (finished()) return;
    blade_.curves = blade_curve_.curves(blade_.closed, blade_.open, throttle_tracks_);
    blade_.gap = blade_curve_.widest_gap(blade_.closed[0], blade_.open[0]);
    refuse_if(blade_problem(blade_));
}

void RangeLearn::press(const Input& in, Readings& peak) {
    foot_curve_.add(in.pedal);
    recent_[recent_count_++ % recent_.size()] = in.pedal;
    if (recent_count_ < recent_.size()) return;
    Average recent;
    for (const Readings& r : recent_) recent.add(r);
    const Readings now = recent.mean();
    const double move = largest_difference(now, foot_.rest, pedal_tracks_);
    if (peak_move_ == 0.0) peak = foot_.rest;
    for (std::size_t k = 0; k < pedal_tracks_;
         ++k)  // each by itself: a saturated knee track does not tell the furthest
        if (abs(now[k] - foot_.rest[k]) > abs(peak[k] - foot_.rest[k])) peak[k] = now[k];
    peak_move_ = max(peak_move_, move);
    const double was = peak_move_;
    const bool pressing = state_ == LearnState::first_press || state_ == LearnState::second_press;
    if (pressing && move > p_.pedal_span_least) {
        go(state_ == LearnState::first_press ? LearnState::first_release : LearnState::second_release);
        peak_move_ = was;
    } else if (!pressing && move < max(p_.press_agreement * was, still_band)) {
        go(state_ == LearnState::first_release ? LearnState::second_press : LearnState::validating);
    }
}

void RangeLearn::judge_pedal() {
    Average ends;
    ends.add(foot_.first_press);
    ends.add(foot_.second_press);
    const Readings end = ends.mean();
    refuse_if(span_problem("Pedal", foot_.rest, end, pedal_tracks_, p_.pedal_span_least, p_.second_span_least));
    if (finished()) return;
    foot_.curves = foot_curve_.curves(foot_.rest, end, pedal_tracks_);
    foot_.gap = foot_curve_.widest_gap(foot_.rest[0], end[0]);
    refuse_if(pedal_problem(p_, foot_));
    if (finished()) return;
    result_ = {
        true, LearnState::accepted, {}, LearnedRange{foot_.curves, blade_.curves, default_opening(blade_), {}, {}}};
    state_ = LearnState::accepted;
}

}  // namespace twintrack::control
