// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "twintrack/core/time.hpp"
#include "twintrack/wiring/connection.hpp"

namespace twintrack::fault {

/// What is wrong, where, from when to when, how much.
struct Fault {
    std::string where;         ///< "pedal.track1", "throttle.track2", "body.return_spring", "supply", …
    std::string what;          ///< "offset", "gain", "noise", "frozen", "scale", "torque", "shift", "exchanged", …
    Time from{};               ///< since the start of the run
    std::optional<Time> to{};  ///< absent: to the end
    double amount = 0.0;       ///< in the unit the catalogue gives
    Time ramp{};               ///< over which the amount builds up
};

/// Everything the active faults do to the bench at one instant; the identity when there are none.
struct Effects {
    std::array<sensing::TrackEffect, sensing::max_tracks> pedal{};
    std::array<sensing::TrackEffect, sensing::max_tracks> throttle{};
    double return_spring = 1.0;  ///< scale; 0 is a broken spring
    double opener_spring = 1.0;
    double friction = 1.0;
    double supply = 1.0;           ///< scale of the supply voltage
    double external_torque = 0.0;  ///< [N·m] on the blade
    double closed_stop = 0.0;      ///< shift of the closed stop [rad], positive: deposits or ice hold the blade open
    double open_stop = 0.0;        ///< shift of the open stop [rad], negative: something blocks it short of open
    double heat = 0.0;             ///< [K] by which the motor's winding is hotter than its description says
    bool motor_reversed = false;   ///< the motor's leads are exchanged
    bool pedal_exchanged = false;  ///< the signals of the pedal's tracks 1 and 2 are exchanged
    bool throttle_exchanged = false;

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
/// at once. Frozen, reversed and exchanged take no amount and no ramp.
class Schedule {
public:
    Schedule() = default;

    /// Throws InvalidParameter for an unknown place or kind (listing those there are), an amount, time or ramp that is
    /// not allowed, and two faults of one kind at one place whose times overlap.
    explicit Schedule(std::vector<Fault> faults);

    [[nodiscard]] Effects effects(Time now) const;
    [[nodiscard]] bool empty() const noexcept { return faults_.empty(); }
    [[nodiscard]] const std::vector<Fault>& faults() const noexcept { return faults_; }

private:
    std::vector<Fault> faults_;
    std::vector<std::size_t> kinds_;  ///< of each fault, its place in the catalogue
};

}  // namespace twintrack::fault
