// SPDX-License-Identifier: BSD-3-Clause
#include "safeguards.hpp"

#include <algorithm>
#include <cmath>

namespace twintrack::bench {

namespace {

using monitor::Reaction;

constexpr double bend = 0.02;  // [share of span] by which a track that is a straight line to the watcher may deviate

bool straight(const control::LearnedTrack& t) {
    double worst = 0.0;
    for (std::size_t i = 0; i < control::curve_knots; ++i) {
        const double x = static_cast<double>(i) / static_cast<double>(control::curve_knots - 1);
        worst = std::max(worst, std::fabs(t.curve[i] - t.start() - x * t.span()));
    }
    return worst <= bend * std::fabs(t.span());
}

/// What is burnt into the watcher when a learn has been accepted.
monitor::WatcherEnds watcher_ends(const BenchParameters& p, const control::LearnedRange& learned, double full_scale) {
    const auto count = [&](double reading) { return static_cast<std::int32_t>(std::lround(reading * full_scale)); };
    const auto ends = [&](const control::LearnedTrack& t) {
        return monitor::WatcherEnds::Track{count(t.start()), count(t.end())};
    };
    monitor::WatcherEnds e;
    for (std::size_t k = 0; k < 2; ++k) {
        e.pedal[k] = ends(learned.pedal[k]);
        e.throttle[k] = ends(learned.throttle[k]);
    }
    e.compare_pedal = straight(learned.pedal[1]);
    e.compare_throttle = straight(learned.throttle[1]);
    const Table map(p.controller.pedal_map.pedal, p.controller.pedal_map.opening, "controller.pedal_map");
    for (int i = 0; i <= 16; ++i) e.allowed.push_back(static_cast<std::int32_t>(std::ceil(1000.0 * map(i / 16.0))));
    return e;
}

monitor::ShutdownDevice::Trim trim(const BenchParameters& p) {
    sensing::Track track(p.body.tracks[0], "body.tracks[1]");
    const double closed = track.read(0.0, {}), at = track.read(p.monitor.device.throttle_share, {});
    return {p.reference * at, at > closed};
}

}  // namespace

Safeguards::Safeguards(const BenchParameters& p, const SessionOptions& options,
                       std::optional<monitor::TroubleCode> refused, Time period)
    : p_(p), brake_(options.brake), full_scale_(std::exp2(p.acquisition.bits) - 1.0) {
    if (!options.monitored) return;
    monitor_.emplace(p.monitor, options.learned, p.pedal.tracks.size(), p.body.tracks.size(), period,
                     std::move(refused), options.history);
    if (p.monitor.watcher.enabled && options.learned)
        watcher_.emplace(p.monitor.watcher, watcher_ends(p, *options.learned, full_scale_), period);
    if (p.monitor.device.enabled) device_.emplace(p.monitor.device, trim(p), period);
}

void Safeguards::sense_brake(double factor, Snapshot& now) const {
    now.braking = brake_ ? brake_->travel(now.time) : 0.0;
    const double output = clamp(factor * sensing::brake_output(p_.brake, now.braking), 0.0, 1.0);
    now.brake_volts = p_.reference * output;
    now.input.brake = static_cast<double>(counts(output)) / full_scale_;
    const double seen = sensing::braking(p_.brake, now.input.brake);
    now.input.brake_applied = seen > p_.brake.applied;
    now.input.brake_hard = seen > p_.brake.hard;
}

std::int32_t Safeguards::counts(double reading) const noexcept {
    return static_cast<std::int32_t>(std::lround(reading * full_scale_));
}

void Safeguards::watch(Snapshot& now) {
    if (!monitor_) return;
    now.reaction = monitor_->step(now.input, now.command);
    second_look(now);
    monitor_->order(now.input);
    now.action = p_.monitor.ladder.of(now.reaction);
    monitor::order(now.action, now.input);
}

/// Watcher and device take away what the monitor has left.
void Safeguards::second_look(Snapshot& now) {
    const control::Input& in = now.input;
    if (watcher_) {
        const bool powered = now.command.mode == plant::BridgeMode::drive;
        const bool may = watcher_->step({counts(in.pedal[0]), counts(in.pedal[1])},
                                        {counts(in.throttle[0]), counts(in.throttle[1])}, in.motor_current, powered);
        if (!may) now.reaction = std::max(now.reaction, Reaction::motor_off);
        now.watcher = watcher_->reason();
    }
    if (device_) {
        const bool may = device_->step(now.brake_volts, in.brake_hard, now.throttle_volts[0], in.supply);
        if (!may) now.reaction = std::max(now.reaction, Reaction::engine_off);
        now.device = device_->reason();
    }
}

/// Watcher and device open the motor's supply, whatever the controller would do.
plant::BridgeMode Safeguards::off_mode() const noexcept {
    if ((watcher_ && watcher_->tripped()) || (device_ && device_->tripped())) return plant::BridgeMode::high_impedance;
    return p_.monitor.motor_off_by == monitor::MotorOff::braking ? plant::BridgeMode::brake
                                                                 : plant::BridgeMode::high_impedance;
}

const std::vector<monitor::TroubleCode>& Safeguards::codes() const noexcept {
    static const std::vector<monitor::TroubleCode> none;
    return monitor_ ? monitor_->codes() : none;
}

const monitor::FaultMemory& Safeguards::history() const noexcept {
    static const monitor::FaultMemory none;
    return monitor_ ? monitor_->history() : none;
}

std::vector<Signal> Safeguards::signals() const {
    std::vector<Signal> all;
    if (brake_) all = {{"brake", ""}, {"brake.volts", "V"}, {"brake.applied", ""}, {"brake.hard", ""}};
    if (watcher_) all.push_back({"watcher.tripped", ""});
    if (device_) all.push_back({"device.tripped", ""});
    return all;
}

void Safeguards::append(const Snapshot& s, std::vector<double>& row) const {
    if (brake_)
        row.insert(row.end(), {s.braking, s.brake_volts, double(s.input.brake_applied), double(s.input.brake_hard)});
    if (watcher_) row.push_back(watcher_->tripped());
    if (device_) row.push_back(device_->tripped());
}

}  // namespace twintrack::bench
