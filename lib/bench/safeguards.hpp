// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <vector>

#include "twintrack/bench/session.hpp"
#include "twintrack/monitor/monitor.hpp"
#include "twintrack/monitor/shutdown_device.hpp"
#include "twintrack/monitor/watcher.hpp"

namespace twintrack::bench {

/// Everything that watches a session: the monitor, the second watcher, the device of the competition rules; and the
/// brake, which they look at.
class Safeguards {
public:
    Safeguards(const BenchParameters& p, const SessionOptions& options, std::optional<monitor::TroubleCode> refused,
               Time period);

    /// The brake's sensor at this tick; `factor` on its output is a fault's.
    void sense_brake(double factor, Snapshot& now) const;
    /// Looks at the inputs of this tick and orders what follows.
    void watch(Snapshot& now);
    /// What a motor that was switched off is left as.
    [[nodiscard]] plant::BridgeMode off_mode() const noexcept;

    [[nodiscard]] const std::vector<monitor::TroubleCode>& codes() const noexcept;
    [[nodiscard]] const monitor::FaultMemory& history() const noexcept;

    /// Signals beside those that every session records, and their values.
    [[nodiscard]] std::vector<Signal> signals() const;
    void append(const Snapshot& s, std::vector<double>& row) const;

private:
    [[nodiscard]] std::int32_t counts(double reading) const noexcept;
    void second_look(Snapshot& now);

    BenchParameters p_;
    std::optional<Stroke> brake_;
    double full_scale_;
    std::optional<monitor::Monitor> monitor_;
    std::optional<monitor::Watcher> watcher_;
    std::optional<monitor::ShutdownDevice> device_;
};

}  // namespace twintrack::bench
