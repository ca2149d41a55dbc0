// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <vector>

#include "twintrack/bench/independent_supervision.hpp"
#include "twintrack/bench/session.hpp"
#include "twintrack/monitor/unit.hpp"

namespace twintrack::bench {

/// Reads the controller's memory, where one is given, as its learned range; returns the code of a record that cannot be
/// used. Of an empty memory the monitor says by itself that there is no range.
[[nodiscard]] std::optional<monitor::TroubleCode> read_memory(SessionOptions& options);

/// Everything that watches a session: the monitor, and what looks beside it.
class Supervision {
public:
    /// Takes the monitor out of the options.
    Supervision(const BenchParameters& p, SessionOptions& options, std::optional<monitor::TroubleCode> refused,
                Time period);

    /// The brake's sensor at this tick; `factor` on its output is a fault's.
    void sense_brake(double factor, Snapshot& now);
    /// InvalidParameter when there is no brake.
    void hold_brake(double braking) { look_.hold_brake(braking); }
    /// Checks the inputs of this tick and gives the orders. UnitFailure when a monitor of one's own fails.
    void watch(Snapshot& now);
    /// The controller is in reset at this tick.
    void sleep(Snapshot& now);
    /// It runs again; `starved`: it was in reset with the key on. UnitFailure as above.
    void reboot(Time now, bool starved);
    /// What a motor that was switched off is left as.
    [[nodiscard]] plant::BridgeMode off_mode() const noexcept { return look_.off_mode(); }

    [[nodiscard]] const std::vector<monitor::TroubleCode>& codes() const noexcept;
    [[nodiscard]] const monitor::FaultMemory& history() const noexcept;

    /// Signals beside those that every session records, and their values.
    [[nodiscard]] std::vector<Signal> signals() const;
    void append(std::vector<double>& row) const;

private:
    IndependentSupervision look_;
    std::optional<monitor::MonitorUnit> monitor_;
};

}  // namespace twintrack::bench
