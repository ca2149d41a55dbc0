// SPDX-License-Identifier: BSD-3-Clause
#include "supervision.hpp"

namespace twintrack::bench {

std::optional<monitor::TroubleCode> read_memory(SessionOptions& options) {
    if (!options.memory) return {};
    control::StoredRange stored = options.memory->read();
    options.learned = std::move(stored.range);
    if (stored.state == control::MemoryState::damaged) return monitor::memory_damaged();
    if (stored.state == control::MemoryState::foreign) return monitor::memory_foreign();
    return {};
}

Supervision::Supervision(const BenchParameters& p, const SessionOptions& options,
                         std::optional<monitor::TroubleCode> refused, Time period)
    : ladder_(p.monitor.ladder), look_(p, options.learned, options.brake, options.monitored, period) {
    if (!options.monitored) return;
    monitor_.emplace(p.monitor, options.learned, p.pedal.tracks.size(), p.body.tracks.size(), period,
                     std::move(refused), options.history);
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
    monitor_->order(now.input);
    now.action = ladder_.of(now.reaction);
    monitor::order(now.action, now.input);
    monitor_->report(now.reaction);
}

void Supervision::sleep(Snapshot& now) {
    look_.sleep(now.input, now.throttle_volts[0]);
    now.device = look_.device();
    now.reaction = monitor::Reaction::none;
    now.action = ladder_.of(now.reaction);
}

void Supervision::reboot(Time now, bool starved) {
    if (monitor_) monitor_->reboot(now, starved);
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
