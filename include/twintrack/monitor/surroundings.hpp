// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/control/signals.hpp"
#include "twintrack/core/table.hpp"
#include "twintrack/monitor/check.hpp"

/// Conditions on supply, reference, brake and air.
namespace twintrack::monitor {

/// A voltage that must stay in a window.
struct WindowParameters {
    double low = 0.0;   ///< [V]
    double high = 0.0;  ///< [V]
    CheckParameters check{};
};

[[nodiscard]] const Description& description(Tag<WindowParameters>);

/// Brake and throttle at once. More than 1 s: student-competition rules 2024, IC.4.7.1; the rules leave the opening
/// that is permitted to a table, the 25 % here are this bench's own. Band and time of the sensor: T.4.3.3, T.4.3.4.
struct BrakeCheckParameters {
    double opening = 0.25;    ///< [share of travel] permitted while braking
    double band_low = 0.10;   ///< [share of full scale] 0.5 V
    double band_high = 0.90;  ///< [share of full scale] 4.5 V
    CheckParameters check{.confirm_time = 1.0, .heal_time = 0.0, .latch = false};
    CheckParameters sensor{};
};

[[nodiscard]] const Description& description(Tag<BrakeCheckParameters>);

/// The pedal's idle-validation switch against its tracks, p the controller's pedal position:
///
///     "foot off" and p > pressed;   "foot on" and p < released
///
/// Until it is confirmed the demand is idle in the first case, since the switch must consent to one. Figures: this
/// bench's own, on both sides of where such switches open.
struct IdleSwitchCheckParameters {
    double pressed = 0.15;    ///< [share of travel] beyond which the foot cannot be off
    double released = 0.015;  ///< [share of travel] below which it cannot be on
    CheckParameters check{};
};

[[nodiscard]] const Description& description(Tag<IdleSwitchCheckParameters>);

[[nodiscard]] inline bool contradicts(const IdleSwitchCheckParameters& p, control::IdleContact contact,
                                      double pedal) noexcept {
    using C = control::IdleContact;
    return (contact == C::foot_off && pedal > p.pressed) || (contact == C::foot_on && pedal < p.released);
}

/// Air against angle: no blade passes more than a choked flow through the opening it reports. Seen only from above: how
/// little a throttle may pass depends on the manifold. `opening` and `flow`: the choked flow of the nominal body; the
/// check needs them and an engine. The margin is this bench's own.
struct AirFlowParameters {
    std::vector<double> opening;  ///< knots [share of travel]
    std::vector<double> flow;     ///< [kg/s] choked, at the knots
    double margin = 0.3;          ///< share of the flow above it
    double floor = 0.002;         ///< [kg/s] added: leaks, idle air
    CheckParameters check{.confirm_time = 0.5};
};

[[nodiscard]] const Description& description(Tag<AirFlowParameters>);

/// The knots are a table, or both lists are empty.
void check(const AirFlowParameters& p, const std::string& path);

class AirFlowCheck {
public:
    explicit AirFlowCheck(const AirFlowParameters& p);

    /// Whether more air flows than the opening passes. False without a table or without air.
    [[nodiscard]] bool too_much(double opening, double air_flow) const noexcept;

private:
    Table most_;  ///< [kg/s]
    double margin_, floor_;
    bool known_;
};

}  // namespace twintrack::monitor
