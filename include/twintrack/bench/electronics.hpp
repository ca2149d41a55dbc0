// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "twintrack/bench/exact_solver.hpp"
#include "twintrack/bench/session.hpp"
#include "twintrack/bench/wires.hpp"
#include "twintrack/control/power.hpp"

namespace twintrack::bench {

/// The controller's supply, its bridge's protection and the motor's heat from tick to tick. On a healthy supply, with
/// sound leads and without a thermal motor it changes nothing, to the last bit.
class Electronics {
public:
    Electronics(const BenchParameters& p, Time period);

    /// Internal supply [V] that a tick finds.
    [[nodiscard]] double reference(double nominal) const noexcept { return power_.internal(nominal); }
    /// What the supply pin and the motor pins of this tick make of controller and bridge; `now` still holds the command
    /// of the tick before.
    void sample(Wires& wires, const wiring::HarnessInput& sources, Snapshot& now);

    [[nodiscard]] bool awake() const noexcept { return power_.awake(); }
    [[nodiscard]] bool booted() const noexcept { return power_.booted(); }
    [[nodiscard]] bool starved() const noexcept { return power_.starved(); }
    [[nodiscard]] bool may_drive() const noexcept { return guard_.state() == plant::BridgeState::ready; }
    /// The bridge as the motor's source until the next tick. Changes the mode of `sources` when the bridge opens
    /// itself.
    [[nodiscard]] plant::Terminal<double> drive(Wires& wires, wiring::HarnessInput& sources);

    /// There is a motor that warms up.
    [[nodiscard]] bool warms() const noexcept { return p_.body.thermal.has_value(); }
    [[nodiscard]] plant::BodyMechanics warm(plant::BodyMechanics body) const;
    /// A period in which so much energy turned to heat.
    void heat(const EnergyLedger& ledger) noexcept;

    /// Signals of a motor that warms up, and their values.
    [[nodiscard]] std::vector<Signal> signals() const;
    void append(std::vector<double>& row) const;

private:
    void estimate(double current) noexcept;
    [[nodiscard]] double share() const noexcept;

    BenchParameters p_;
    Time period_;
    control::PowerSupply power_;
    plant::BridgeGuard guard_;
    plant::HeatState heat_, believed_;  ///< of the motor; as the controller counts it
};

/// Why a case needs the exact solver: something in it can starve the controller, open the bridge or warm the motor,
/// which lanes do not model. Nothing for all others. `duration` [s] of the run.
struct ExactOnly {
    const char *where, *why;
};
[[nodiscard]] std::optional<ExactOnly> exact_only(const BenchParameters& p, const std::vector<fault::Fault>& faults,
                                                  double duration);

}  // namespace twintrack::bench
