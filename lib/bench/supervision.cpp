// SPDX-License-Identifier: BSD-3-Clause
#include "supervision.hpp"

#include "twintrack/bench/units.hpp"

namespace twintrack::bench {

std::optional<monitor::TroubleCode> read_memory(SessionOptions& options) {
    if (!options.memory) return {};
    control::StoredRange stored = options.memory->read();
    options.learned = std::move(stored.range);
    if (stored.state == control::MemoryState::damaged) return monitor::memory_damaged();
    if (stored.state == control::MemoryState::foreign) return monitor::memory_foreign();
    return {};
}

Supervision::Supervision(const BenchParameters& p, SessionOptions& options, std::optional<monitor::TroubleCode> refused,
                         Time period)
    : look_(p, options.learned, options.brake, options.monitored, period) {
    if (!options.monitored) return;
    if (options.monitor) {
        monitor_.emplace(monitor::OwnMonitor(std::move(options.monitor), p.monitor.ladder, options.history));
    } else if (options.units.monitor) {
        auto make = [factory = options.units.monitor, learned = options.learned, p] {
            return made(factory, "monitor", learned, p);
        };
        monitor_.emplace(monitor::OwnMonitor(make(), p.monitor.ladder, options.history, make));
    } else {
        monitor_.emplace(monitor::Monitor(p.monitor, options.learned, p.pedal.tracks.size(), p.body.tracks.size(),
                                          period, std::move(refused), options.history));
    }
}

void Supervision::sense_brake(double factor, Snapshot& now) {
    look_.sense_brake(factor, now.time, now.input);
    now.braking = look_.braking();
    now.brake_volts = look_.brake_volts();
}

void Supervision::watch(Snapshot& now) {
    if (!monitor_) return;
    const bool powered = now.command.mode == plant::BridgeMode::drive;
    now.reaction = monitor_->step(now.input, now.command);
    now.reaction = look_.judge(now.reaction, now.input, now.throttle_volts[0], powered);
    now.function_monitor = look_.function_monitor();
    now.device = look_.device();
    if (now.function_monitor != monitor::FunctionMonitor::Reason::none)
        monitor_->note(monitor::event_of(now.function_monitor));
    if (now.device != monitor::ShutdownDevice::Reason::none) monitor_->note(monitor::event_of(now.device));
    monitor_->trust(now.input);
    now.action = monitor_->action(now.reaction);
    monitor::order(now.action, now.input);
    monitor_->report(now.reaction);
}

void Supervision::sleep(Snapshot& now) {
    look_.sleep(now.input, now.throttle_volts[0]);
    now.device = look_.device();
    now.reaction = monitor::Reaction::none;
    now.action = {};
}

void Supervision::reboot(Time now, bool starved) {
    if (monitor_) control::asked("the monitor", [&] { monitor_->reboot(now, starved); });
    look_.reboot();
}

const std::vector<monitor::TroubleCode>& Supervision::codes() const noexcept {
    static const std::vector<monitor::TroubleCode> none;
    return monitor_ ? monitor_->codes() : none;
}

const monitor::FaultMemory& Supervision::history() const noexcept {
    static const monitor::FaultMemory none;
    return monitor_ ? monitor_->history() : none;
}

std::vector<Signal> Supervision::signals() const {
    std::vector<Signal> all;
    for (std::size_t k = 0; k < IndependentSupervision::signal_count; ++k)
        if (look_.has(k)) all.push_back(IndependentSupervision::signals()[k]);
    return all;
}

void Supervision::append(std::vector<double>& row) const {
    for (std::size_t k = 0; k < IndependentSupervision::signal_count; ++k)
        if (look_.has(k)) row.push_back(look_.value(k));
}

}  // namespace twintrack::bench
