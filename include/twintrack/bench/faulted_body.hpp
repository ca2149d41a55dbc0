// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/fault/fault.hpp"
#include "twintrack/plant/throttle_body.hpp"

/// How the active faults act on the battery and the body of a bench.
namespace twintrack::bench {

/// Open-circuit voltage of a battery of `supply` [V] under the faults: a scale on it, and where a profile holds it
/// (fault/supply_profile.hpp).
[[nodiscard]] double battery_voltage(double supply, const fault::Effects& e) noexcept;

/// Where the stops are now [rad].
struct Stops {
    double closed = 0.0;
    double open = 0.0;
    bool operator==(const Stops&) const = default;
};

/// Where the faults put the stops, whatever the blade does; the travel between them never vanishes.
[[nodiscard]] Stops shifted_stops(const plant::BodyMechanics& body, const fault::Effects& e) noexcept;

/// Nothing grows at the blade's place: a stop that would appear behind the blade stays at it.
[[nodiscard]] Stops held_back(const Stops& wanted, const Stops& before, double angle) noexcept;

[[nodiscard]] plant::BodyMechanics faulted_mechanics(plant::BodyMechanics body, const fault::Effects& e,
                                                     const Stops& stops);

/// Throws InvalidParameter for a fault of the engine or of the idle switch when there is none.
void check_faults(const std::vector<fault::Fault>& faults, bool engine, bool idle_switch);

[[nodiscard]] bool same_mechanics(const fault::Effects& a, const fault::Effects& b) noexcept;

}  // namespace twintrack::bench
