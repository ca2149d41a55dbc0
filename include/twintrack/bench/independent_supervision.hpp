// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/bench/stroke.hpp"
#include "twintrack/core/record.hpp"
#include "twintrack/monitor/function_monitor.hpp"
#include "twintrack/monitor/shutdown_device.hpp"

namespace twintrack::bench {

/// Supervision beside the monitor: the function monitor and the device of the competition rules; and the
/// brake, which the monitor and that device read.
class IndependentSupervision {
public:
    /// `watched`: false while a range learn runs; then there is the brake only.
    IndependentSupervision(const BenchParameters& p, const std::optional<control::LearnedRange>& learned,
                           std::optional<Stroke> brake, bool watched, Time period);

    /// How hard the driver brakes from now on (0 … 1). InvalidParameter when there is no brake.
    void hold_brake(double braking);
    /// The brake's sensor at this tick, and what the controller takes it for; `factor` on its output is a fault's.
    void sense_brake(double factor, Time now, control::Input& in);

    /// What is left of the monitor's `reaction` [at least that]; `throttle_volts` of the first track, `powered` by the
    /// command of the tick before.
    [[nodiscard]] monitor::Reaction judge(monitor::Reaction reaction, const control::Input& in, double throttle_volts,
                                          bool powered) noexcept;

    /// Neither of them counts anything, and the brake is not pressed hard.
    [[nodiscard]] bool settled() const noexcept {
        return (!function_monitor_ || function_monitor_->settled()) && (!device_ || (device_->settled() && !hard_));
    }
    /// The function monitor and the device as long as they have not tripped; null: there is none.
    [[nodiscard]] const monitor::FunctionMonitor* watching() const noexcept {
        return function_monitor_ && !function_monitor_->tripped() ? &*function_monitor_ : nullptr;
    }
    [[nodiscard]] bool guarded() const noexcept { return device_ && !device_->tripped(); }
    /// As FunctionMonitor::pass.
    void pass(const std::vector<monitor::FunctionMonitor::Counts>& pedal) noexcept {
        if (function_monitor_) function_monitor_->pass(pedal);
    }

    /// The controller is in reset, and the function monitor with it; the device has a supply of its own.
    void sleep(const control::Input& in, double throttle_volts) noexcept;
    /// The function monitor begins anew, unless it has tripped: that only a key cycle ends.
    void reboot();

    /// What a motor that was switched off is left as.
    [[nodiscard]] plant::BridgeMode off_mode() const noexcept;

    [[nodiscard]] double braking() const noexcept { return braking_; }  ///< true, share of full braking
    [[nodiscard]] double brake_volts() const noexcept { return brake_volts_; }
    [[nodiscard]] monitor::FunctionMonitor::Reason function_monitor() const noexcept;
    [[nodiscard]] monitor::ShutdownDevice::Reason device() const noexcept;

    /// All signals that there can be, and which of them this bench has.
    static constexpr std::size_t signal_count = 8;
    [[nodiscard]] static const std::array<Signal, signal_count>& signals();
    [[nodiscard]] bool has(std::size_t signal) const noexcept;
    [[nodiscard]] double value(std::size_t signal) const noexcept;

private:
    [[nodiscard]] std::int32_t counts(double reading) const noexcept;

    sensing::BrakeSensorParameters sensor_;
    double reference_;  ///< [V]
    double full_scale_;
    monitor::MotorOff off_;
    std::optional<Stroke> brake_;
    std::optional<monitor::FunctionMonitor> function_monitor_, fresh_function_monitor_;
    std::optional<monitor::ShutdownDevice> device_;
    double braking_ = 0.0, brake_volts_ = 0.0;
    bool applied_ = false, hard_ = false;
};

}  // namespace twintrack::bench
