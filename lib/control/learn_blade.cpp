// SPDX-License-Identifier: BSD-3-Clause
// The blade's part of the range learn: both stops, let go after each.
#include "twintrack/control/range_learn.hpp"

namespace twintrack::control {

namespace {

/// mean over the tracks of |a − b|: grows as long as any track moves, so a saturated one does not stop the servo.
double mean_difference(const Readings& a, const Readings& b, std::size_t tracks) noexcept {
    double sum = 0.0;
    for (std::size_t k = 0; k < tracks; ++k) sum += abs(a[k] - b[k]);
    return sum / static_cast<double>(tracks);
}

}  // namespace

/// One tick of the servo away from the readings `start`; the unsigned duty, at most `most`.
double RangeLearn::drive_toward(const Readings& start, const Input& in, double most) {
    constexpr double lead_most = 0.2;  // share of full scale the reference may run ahead of a stationary blade
    const double covered = mean_difference(in.throttle, start, throttle_tracks_);
    reference_ = min(reference_ + p_.sweep_rate * period_, covered + lead_most);
    const auto [duty, next] = pid_step(servo_, servo_state_, reference_ - covered, 0.0, most);
    servo_state_ = next;
    return duty;
}

double RangeLearn::close(const Input& in) {
    const double duty = drive_toward(start_, in, p_.closing_duty);
    blade_curve_.add(in.throttle);
    if (state_ == LearnState::closing) {
        const double moved = mean_difference(in.throttle, start_, throttle_tracks_);
        if (moved > p_.limits.closing_move_most)
            refuse({Refusal::wrong_direction,
                    "The blade moved by " + percent(moved) +
                        " of full scale (mean of the tracks) while it was being closed, at most " +
                        percent(p_.limits.closing_move_most) +
                        " is believed: it opens instead (motor leads exchanged), or it did not start from its default "
                        "position.",
                    moved, p_.limits.closing_move_most});
        else if (duty < 0.999 * p_.closing_duty)
            blade_still_.restart();
        else if (blade_still_.step(in.throttle) >= p_.settle_time)
            go(LearnState::closed);
        return -duty;
    }
    throttle_.add(in.throttle);
    if (elapsed_ < average_time) return -duty;
    blade_.closed = throttle_.mean();
    blade_.noise = max(blade_.noise, throttle_.rms());
    go(LearnState::releasing_closed);
    return 0.0;
}

/// Waits, motor off, until the springs have done what they can.
void RangeLearn::release(const Input& in) {
    const double still = blade_still_.step(in.throttle);
    if (still < p_.settle_time) return;
    const bool from_closed = state_ == LearnState::releasing_closed;
    (from_closed ? blade_.opener_time : blade_.return_time) = max(elapsed_ - period_ - still, 0.0);
    go(from_closed ? LearnState::default_position : LearnState::resting);
}

void RangeLearn::average_default(const Input& in) {
    throttle_.add(in.throttle);
    if (elapsed_ < average_time) return;
    blade_.lifted = throttle_.mean();
    blade_.noise = max(blade_.noise, throttle_.rms());
    reference_ = mean_difference(blade_.lifted, blade_.closed, throttle_tracks_);
    servo_state_ = {};
    go(LearnState::sweeping_open);
}

double RangeLearn::sweep(const Input& in) {
    const double duty = drive_toward(blade_.closed, in, p_.opening_duty);
    blade_curve_.add(in.throttle);
    if (state_ == LearnState::sweeping_open) {
        if (duty < 0.999 * p_.opening_duty)
            blade_still_.restart();
        else if (blade_still_.step(in.throttle) >= p_.settle_time)
            go(LearnState::open);
        return duty;
    }
    throttle_.add(in.throttle);
    if (elapsed_ < average_time) return duty;
    blade_.open = throttle_.mean();
    blade_.noise = max(blade_.noise, throttle_.rms());
    go(LearnState::releasing_open);
    return 0.0;
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
    blade_.noise = max(blade_.noise, throttle_.rms());
    foot_.rest = pedal_.mean();
    foot_.noise = pedal_.rms();
    judge_blade();
    recent_count_ = 0;
    if (!finished()) go(LearnState::first_press);
}

void RangeLearn::judge_blade() {
    LearnMeasures& m = result_.measures;
    m.opener_time = blade_.opener_time;
    m.return_time = blade_.return_time;
    m.throttle_noise = blade_.noise;
    m.pedal_noise = foot_.noise;
    if (refused(movement_problem(blade_, throttle_tracks_, p_.opening_duty))) return;
    if (refused(span_problem("Throttle", blade_.closed, blade_.open, throttle_tracks_, p_.limits.throttle_span_least,
                             p_.limits.second_span_least)))
        return;
    blade_.curves = blade_curve_.curves(blade_.closed, blade_.open, throttle_tracks_);
    blade_.gap = blade_curve_.widest_gap(blade_.closed[0], blade_.open[0]);
    m.default_opening = default_opening(blade_);
    m.default_repeat = default_repeat(blade_);
    m.throttle_bend = largest_bend(blade_.curves);
    if (refused(margin_problem(p_, "Throttle", blade_.closed, throttle_tracks_))) return;
    if (refused(margin_problem(p_, "Throttle", blade_.open, throttle_tracks_))) return;
    refused(blade_problem(p_, blade_));
}

}  // namespace twintrack::control
