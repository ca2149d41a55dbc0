// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "twintrack/core/time.hpp"
#include "twintrack/fault/supply_profile.hpp"
#include "twintrack/wiring/connection.hpp"

namespace twintrack::fault {

/// What is wrong, where, from when to when, how much.
struct Fault {
    std::string where;  ///< "pedal.track1", "body.return_spring", "supply", …; of the wiring: a terminal
    std::string what;   ///< "offset", "gain", "noise", "frozen", "scale", …; of the wiring: "open", "leak", …
    Time from{};        ///< since the start of the run
    std::optional<Time> to{};  ///< absent: to the end
    double amount = 0.0;       ///< in the unit the catalogue gives
    Time ramp{};               ///< over which the amount builds up
    std::string with{};        ///< the other terminal, of a wiring fault between two
    Time every{};              ///< of an intermittent wiring fault: its period; 0: it stays
    Time lasting{};            ///< and how long of each period it is there
};

/// Everything the active faults do to the bench at one instant; the identity when there are none.
struct Effects {
    std::array<sensing::TrackEffect, sensing::max_tracks> pedal{};
    std::array<sensing::TrackEffect, sensing::max_tracks> throttle{};
    std::array<double, sensing::max_tracks> pedal_lag{};  ///< [s] of what alters the signals in the pedal's line
    double return_spring = 1.0;                           ///< scale; 0 is a broken spring
    double opener_spring = 1.0;
    double friction = 1.0;
    double supply = 1.0;           ///< scale of the supply voltage
    double external_torque = 0.0;  ///< [N·m] on the blade
    double closed_stop = 0.0;      ///< shift of the closed stop [rad], positive: deposits or ice hold the blade open
    double open_stop = 0.0;        ///< shift of the open stop [rad], negative: something blocks it short of open
    double heat = 0.0;             ///< [K] by which the motor's winding is hotter than its description says
    double reference = 1.0;        ///< scale of the controller's sensor supply
    double brake = 1.0;            ///< scale of the brake sensor's output
    double leak = 0.0;             ///< [m²] effective opening of a vacuum leak at the manifold
    double idle_switch = 0.0;      ///< 0: as it is; 1: stuck at "foot off"; 2: stuck at "foot on"
    ImposedVoltage battery{};      ///< where a supply profile holds the battery

    bool operator==(const Effects&) const = default;
};

/// An entry of the list of faults there are.
struct Kind {
    const char* where;
    const char* what;
    const char* unit;
    double least, most;  ///< allowed amounts
    const char* meaning;
};

[[nodiscard]] const std::vector<Kind>& catalogue();

/// A checked list of faults.
///
///     effect(t) = identity + s (amount − identity),   s = clamp((t − from)/ramp, 0, 1),   from ≤ t < to
///
/// and the identity (offset 0, gain 1, scale 1, …) outside. Without a ramp a fault is there at once; it always ends
/// at once. Frozen and the supply profiles take no amount and no ramp. Faults of the wiring are no effects but edits of
/// the bench's netlist (wiring_faults.hpp).
class Schedule {
public:
    Schedule() = default;

    /// Throws InvalidParameter for an unknown place or kind (listing those there are), an amount, time or ramp that is
    /// not allowed, and two faults of one kind at one place whose times overlap.
    explicit Schedule(std::vector<Fault> faults);

    [[nodiscard]] Effects effects(Time now) const;
    /// Those in the wiring, in their order.
    [[nodiscard]] const std::vector<Fault>& wiring() const noexcept { return wiring_; }
    [[nodiscard]] bool empty() const noexcept { return faults_.empty(); }
    [[nodiscard]] const std::vector<Fault>& faults() const noexcept { return faults_; }

private:
    std::vector<Fault> faults_, wiring_;
    std::vector<Fault> acting_;       ///< those that are not in the wiring
    std::vector<std::size_t> kinds_;  ///< of each of them, its place in the catalogue
};

/// s of a fault at an instant while it is there.
[[nodiscard]] double grown(const Fault& f, Time now) noexcept;

/// from ≤ t < to.
[[nodiscard]] bool present(const Fault& f, Time now) noexcept;

}  // namespace twintrack::fault
