// SPDX-License-Identifier: BSD-3-Clause
// The pedal's part of the range learn: full presses and what to make of them.
#include "twintrack/control/range_learn.hpp"

namespace twintrack::control {

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
         ++k)  // each by itself: a saturated knee track does not show the furthest
        if (abs(now[k] - foot_.rest[k]) > abs(peak[k] - foot_.rest[k])) peak[k] = now[k];
    peak_move_ = max(peak_move_, move);
    after_press(state_ == LearnState::first_press || state_ == LearnState::second_press, move, peak_move_);
}

/// Continues when the pedal has moved far enough, or is back and steady: a foot may pass a rest that was read
/// wrong.
void RangeLearn::after_press(bool pressing, double move, double peak) {
    const bool first = state_ == LearnState::first_press || state_ == LearnState::first_release;
    if (pressing) {
        if (move <= p_.limits.pedal_span_least) return;
        go(first ? LearnState::first_release : LearnState::second_release);
        peak_move_ = peak;
        return;
    }
    const bool back = move < max(min(p_.limits.press_agreement, 0.5) * peak, p_.still_band);
    back_time_ = back ? back_time_ + period_ : 0.0;
    if (back_time_ < p_.settle_time) return;
    const bool once_more = first && p_.presses > 1;
    if (first && !once_more) foot_.second_press = foot_.first_press;
    go(once_more ? LearnState::second_press : LearnState::validating);
}

void RangeLearn::judge_pedal(const Input& in) {
    Average ends;
    ends.add(foot_.first_press);
    ends.add(foot_.second_press);
    const Readings end = ends.mean();
    if (refused(span_problem("Pedal", foot_.rest, end, pedal_tracks_, p_.limits.pedal_span_least,
                             p_.limits.second_span_least)))
        return;
    foot_.curves = foot_curve_.curves(foot_.rest, end, pedal_tracks_);
    foot_.gap = foot_curve_.widest_gap(foot_.rest[0], end[0]);
    result_.measures.pedal_bend = largest_bend(foot_.curves);
    result_.measures.press_difference = press_difference(foot_);
    if (refused(margin_problem(p_, "Pedal", foot_.rest, pedal_tracks_))) return;
    if (refused(margin_problem(p_, "Pedal", end, pedal_tracks_))) return;
    if (refused(pedal_problem(p_, foot_))) return;
    found_.pedal = foot_.curves;
    found_.throttle = blade_.curves;
    found_.default_opening = default_opening(blade_);
    found_.supply = in.supply;
    found_.learned_at = seconds(in.time);
    store_.begin(found_);
    go(LearnState::committing);
}

}  // namespace twintrack::control
