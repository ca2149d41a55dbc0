// SPDX-License-Identifier: BSD-3-Clause
// A lane that is flagged: monitor and controller of the bench decide its tick, and when it may sleep again.
#include <algorithm>
#include <cmath>
#include <utility>

#include "lane_case.hpp"
#include "limits.hpp"

namespace twintrack::lanes {

using plant::BridgeMode;

namespace {

// [ticks] A lane under orders that is flagged at once again and again is decided for a while: to put it to sleep costs
// more than to decide it.
constexpr std::int64_t shortest_skip = 8, host_for = 32;

BridgeMode off_mode(const monitor::MonitorParameters& m) {
    return m.motor_off_by == monitor::MotorOff::braking ? BridgeMode::brake : BridgeMode::high_impedance;
}

bool none(const control::Trust& trust, std::size_t tracks) {
    return std::none_of(trust.begin(), trust.begin() + static_cast<std::ptrdiff_t>(tracks), [](bool t) { return t; });
}

bool all(const control::Trust& trust, std::size_t tracks) {
    return std::all_of(trust.begin(), trust.begin() + static_cast<std::ptrdiff_t>(tracks), [](bool t) { return t; });
}

/// No more than idle is requested at any pedal position.
bool footless(const monitor::Action& a, const control::PedalMapParameters& map) {
    const double idle = Table(map.pedal, map.opening)(0.0);
    return a.demand_limit <= idle && *std::min_element(map.opening.begin(), map.opening.end()) >= idle;
}

/// The first track in use; the number of tracks when none is.
double lead(const control::Trust& trust, std::size_t tracks) {
    return static_cast<double>(std::find(trust.begin(), trust.begin() + static_cast<std::ptrdiff_t>(tracks), true) -
                               trust.begin());
}

/// The curves rise or fall all the way: one piece of each holds a reading.
bool monotone(const std::vector<control::LearnedTrack>& tracks) {
    return std::all_of(tracks.begin(), tracks.end(), [](const control::LearnedTrack& t) {
        return t.span() > 0.0 ? std::is_sorted(t.curve.begin(), t.curve.end())
                              : std::is_sorted(t.curve.rbegin(), t.curve.rend());
    });
}

}  // namespace

/// The monitor goes on where it was left: at each tick that the lane has slept through, everything that it still looks
/// for was well. The lane knows the samples of the last one, the blade's filtered speed and the clocks of the idle.
void LaneCase::catch_up() {
    const auto& p = case_.bench;
    if (!monitor_) monitor_.emplace(p.monitor, case_.learned, p.pedal.tracks.size(), p.body.tracks.size(), period_);
    const std::int64_t slept = tick() - decided_at_ - 1;
    if (skipping_ && ordered_ && slept < shortest_skip) host_until_ = tick() + host_for;
    if (slept > 0) {
        monitor_->pass(slept, input(true), {get(names_.opening_before), get(names_.pace)}, anchors());
        if (look_) look_->pass(skipped_counts(slept));
        controller_.restore(memory());
    }
    if (slept > 0 || tick() == 0) resume_clocks();
    decided_at_ = tick();
    ++decided_;
}

void LaneCase::decide() {
    if (learning_) return learn();
    const auto& p = case_.bench;
    catch_up();
    control::Input in = input(false);
    control::Command last = last_command();
    last.self_test = self_test_;
    if (look_) look_->sense_brake(effects_.brake, in.time, in);
    if (engine_) tell_of_engine(in);
    const monitor::Reaction seen = monitor_->step(in, last);
    const bool powered = last.mode == BridgeMode::drive;
    reaction_ = look_ ? look_->judge(seen, in, get(names_.throttle.tracks[0].volts), powered) : seen;
    if (reaction_ != monitor::Reaction::none && std::isnan(reacted_at_)) reacted_at_ = seconds(in.time);
    monitor_->order(in);
    const monitor::Action& action = p.monitor.ladder.of(reaction_);
    monitor::order(action, in);
    control::Command command = controller_.step(in);
    self_test_ = command.self_test;
    if (!in.motor_permitted) command.mode = look_ ? look_->off_mode() : off_mode(p.monitor);
    take(command);
    keep(controller_.memory());
    const monitor::MotionCheck::Seen& blade = monitor_->motion().seen();
    at(names_.opening_before) = blade.opening, at(names_.pace) = blade.speed;
    if (engine_) follow_clocks(), limit_fuel(action);
    led_ = false;
    skipping_ = may_skip(action) && order(action, in);
    at(names_.control.scalar) = skipping_ ? 0.0 : 1.0;
    host_at_ = skipping_ && monitor_->confirms_in() < ticks_ ? tick() + monitor_->confirms_in() : ticks_;
}

bool LaneCase::nothing_found() const {
    using monitor::Assembly;
    return monitor_->codes().empty() && reaction_ == monitor::Reaction::none &&
           all(monitor_->assembly(Assembly::pedal).trust(), case_.bench.pedal.tracks.size()) &&
           all(monitor_->assembly(Assembly::throttle).trust(), case_.bench.body.tracks.size());
}

/// Until something happens that the monitor still looks for, the lane's law does what monitor and controller would do.
bool LaneCase::may_skip(const monitor::Action& action) const {
    if (host_every_tick_ || tick() < host_until_ || !monitor_->settled() || monitor_->confirms_in() < 2 ||
        (look_ && !look_->settled()))
        return false;
    if (nothing_found()) return true;
    if (engine_ || control::failed(self_test_)) return false;
    const control::Trust& blade = monitor_->assembly(monitor::Assembly::throttle).trust();
    const bool blind = none(blade, case_.bench.body.tracks.size());
    return !(blind && action.motor_permitted) && monotone(case_.learned->pedal) && monotone(case_.learned->throttle);
}

/// The lane sleeps under the reaction's orders, and what has been found already wakes it no more. False when the lane
/// cannot follow the function monitor.
bool LaneCase::order(const monitor::Action& action, const control::Input& in) {
    keep_anchors();
    const bool plain = nothing_found() && !look_ && monitor_->confirms_in() > ticks_;
    if (!std::exchange(ordered_, !plain) && plain) return true;
    PendingChecks s = pending_checks(case_.bench, *monitor_, in);
    const auto& p = case_.bench;
    using monitor::Assembly;
    const control::Trust &foot = monitor_->assembly(Assembly::pedal).trust(),
                         &blade = monitor_->assembly(Assembly::throttle).trust();
    const std::size_t pedals = p.pedal.tracks.size(), blades = p.body.tracks.size();
    const bool asks = !footless(action, p.controller.pedal_map), plainly = all(foot, pedals) && !action.lowest_track;
    s.foot = asks && plainly;
    LaneFields<double> f{};
    if (!set_supervision(case_.bench, look_ ? &*look_ : nullptr, in, s, f)) return false;
    set_limits(case_, s, period_, f);
    put_limits(f, lane_, *block_);
    const auto& o = names_.control.orders;
    at(o.motor_off) = action.motor_permitted ? 0.0 : 1.0;
    at(o.off_mode) = static_cast<double>(static_cast<int>(look_ ? look_->off_mode() : off_mode(p.monitor)));
    at(o.demand_limit) = action.demand_limit;
    at(o.slope) = action.slope_limit * seconds(period_);
    at(o.slack) = action.lowest_track ? 0.0 : control::Controller::pedal_slack;
    at(o.foot_by) = lead(foot, pedals), at(o.blade_by) = lead(blade, blades);
    at(o.sightless) = none(blade, blades) ? 1.0 : 0.0;
    at(o.footless) = none(foot, pedals) ? 1.0 : 0.0;
    for (std::size_t k = 0; k < pedals; ++k) at(names_.pedal.tracks[k].trusted) = foot[k] ? 1.0 : 0.0;
    led_ = (asks && !plainly) || (lead(blade, blades) > 0.0 && !none(blade, blades));
    return true;
}

/// The lane goes on with what the monitor knows of tracks that stand still, and the other way round.
void LaneCase::keep_anchors() {
    if (!case_.bench.monitor.stuck.check.enabled) return;
    using monitor::Assembly;
    for (const auto* side : {&names_.pedal, &names_.throttle}) {
        const auto all = monitor_->assembly(side == &names_.pedal ? Assembly::pedal : Assembly::throttle).anchors();
        for (std::size_t k = 0; k < all.size(); ++k)
            at(side->tracks[k].own) = all[k].own, at(side->tracks[k].partner) = all[k].reading;
    }
}

std::array<monitor::AssemblyMonitor::Anchors, 2> LaneCase::anchors() const {
    std::array<monitor::AssemblyMonitor::Anchors, 2> both{};
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        both[0][k] = {get(names_.pedal.tracks[k].own), get(names_.pedal.tracks[k].partner)};
        both[1][k] = {get(names_.throttle.tracks[k].own), get(names_.throttle.tracks[k].partner)};
    }
    return both;
}

/// The pedal's counts of the ticks before this one that the function monitor may still ask for.
std::vector<monitor::FunctionMonitor::Counts> LaneCase::skipped_counts(std::int64_t ticks) const {
    if (!look_->watching()) return {};
    const auto most = static_cast<std::int64_t>(look_->watching()->looks_back());
    std::vector<monitor::FunctionMonitor::Counts> all;
    const double* row = block_->history(lane_);
    for (std::int64_t t = tick() - std::min(ticks, most); t < tick(); ++t) {
        auto packed = static_cast<std::int64_t>(row[t % history_places]);
        monitor::FunctionMonitor::Counts& n = all.emplace_back();
        for (std::int32_t& count : n) count = static_cast<std::int32_t>(packed % count_base), packed /= count_base;
    }
    return all;
}

}  // namespace twintrack::lanes
