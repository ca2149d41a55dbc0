// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>

#include "twintrack/core/time.hpp"
#include "twintrack/plant/bridge.hpp"

/// Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
/// engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
namespace twintrack::plant {

/// What a bridge finds wrong with the motor's leads.
enum class BridgeFault { none, short_to_ground, short_to_battery, short_across, open_load };

constexpr std::array<std::pair<BridgeFault, const char*>, 5> names(Tag<BridgeFault>) {
    using F = BridgeFault;
    return {{{F::none, "none"},
             {F::short_to_ground, "short to ground"},
             {F::short_to_battery, "short to battery"},
             {F::short_across, "short across"},
             {F::open_load, "open load"}}};
}

/// Why a bridge does not drive.
enum class BridgeState { ready, undervoltage, tripped, hot };

constexpr std::array<std::pair<BridgeState, const char*>, 4> names(Tag<BridgeState>) {
    using S = BridgeState;
    return {{{S::ready, "ready"}, {S::undervoltage, "undervoltage"}, {S::tripped, "tripped"}, {S::hot, "hot"}}};
}

/// What the bridge reports to the controller.
struct BridgeStatus {
    BridgeState state = BridgeState::ready;
    BridgeFault fault = BridgeFault::none;
    bool derated = false;  ///< the current is limited because bridge or winding is hot
};

/// A bridge that protects itself.
///
///     lock-out     U_pin < U_off → open; U_pin ≥ U_on → ready
///     over-current peak in a switch |i| + e/r > I_trip → open at once; tried again after t_retry, n times, then open
///                  until a reset. e [A]: what a leg gives (high switch, r = its share of the period) or takes (low
///                  switch, r = 1 − share) beyond the motor's current i. What comes back by the other leg: short
///                  across; what does not: short to ground; what comes from elsewhere: short to battery
///     difference   |i₊ + i₋| > Δ while it drives: current that leaves one lead and does not come back by the other
///     junction     C dT/dt = 2 R_sw i² − (T − T_a)/R_th;   limit factor (T_off − T)/(T_off − T_derate) held to 0 … 1;
///                  open at T_off until the junction is below T_derate
///
/// Values: common practice, no source. Switching losses are not modelled.
struct BridgeGuardParameters {
    bool enabled = true;
    double undervoltage = 5.0;          ///< U_off [V]
    double undervoltage_release = 5.5;  ///< U_on [V]
    double trip_current = 20.0;         ///< I_trip [A]
    double difference = 1.0;            ///< Δ [A]
    double retry_time = 0.05;           ///< t_retry [s]
    int retries = 3;                    ///< n
    double junction_resistance = 15.0;  ///< R_th [K/W] to the surroundings
    double junction_capacity = 0.5;     ///< C [J/K]
    double ambient = 25.0;              ///< T_a [°C]
    double derate_from = 150.0;         ///< T_derate [°C]
    double shut_down = 175.0;           ///< T_off [°C]
};

[[nodiscard]] const Description& description(Tag<BridgeGuardParameters>);

/// Thresholds in order: lock-out below its release, derating below the shut-down.
void check(const BridgeGuardParameters& p, const std::string& path);

/// Currents [A] out of the two motor pins, and that of the motor from + to −, averaged over a PWM period.
struct LegCurrents {
    double plus = 0.0, minus = 0.0, motor = 0.0;
};

/// What the currents of one solution say; `duty` of the bridge while it drives.
[[nodiscard]] BridgeFault over_current(const LegCurrents& i, double duty, double trip) noexcept;

/// The protection from tick to tick.
class BridgeGuard {
public:
    BridgeGuard(const BridgeGuardParameters& p, const BridgeParameters& bridge, Time period) noexcept;

    /// Begins a tick: supply [V] at the pin, motor current [A], and whether the bridge carried it.
    void tick(double volts, double current, bool closed) noexcept;
    /// Checks a bridge that drives; true: it has opened.
    bool trips(const LegCurrents& i, double duty) noexcept;
    /// What the test of the open bridge finds.
    void off_state(BridgeFault found) noexcept;
    /// The controller has been in reset; the junction stays warm.
    void reset() noexcept;

    [[nodiscard]] BridgeState state() const noexcept;
    [[nodiscard]] BridgeFault fault() const noexcept { return fault_; }
    [[nodiscard]] double junction() const noexcept { return junction_; }  ///< [°C]
    /// Share of the current limit that the junction leaves, 0 … 1.
    [[nodiscard]] double share() const noexcept;

private:
    static constexpr double forget_time = 0.02;  ///< [s] without a finding after which it is forgotten

    BridgeGuardParameters p_;
    double resistance_;  ///< [Ω] of the two switches in the motor's way
    Time period_;
    double junction_;
    bool locked_ = false, hot_ = false;
    int trips_ = 0;
    Time waiting_{};  ///< until the next try
    Time good_{};     ///< since something was found
    BridgeFault fault_ = BridgeFault::none;
};

/// Highest steady junction temperature [°C] at the bridge's own current limit.
[[nodiscard]] double hottest_junction(const BridgeGuardParameters& p, const BridgeParameters& bridge) noexcept;

}  // namespace twintrack::plant
