// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "twintrack/bench/stroke.hpp"
#include "twintrack/fault/fault.hpp"

namespace twintrack::bench {

/// A disturbance of a range learn: a named cause, not a patched result.
struct LearnDisturbance {
    std::string name{};              ///< of the catalogue
    std::optional<double> amount{};  ///< in the unit the catalogue gives; absent: its usual amount
    std::string where{};             ///< for those that need a place: "pedal.track1", "throttle", …
};

/// An entry of the list of disturbances there are.
struct LearnDisturbanceKind {
    const char* name;
    const char* unit;
    double least, most;  ///< allowed amounts; equal: takes none
    double usual;
    std::vector<std::string> places;  ///< empty: needs none
    const char* meaning;
    std::vector<double> severities{};  ///< amounts worth trying, mild first; empty: takes none
    bool can_stay = false;             ///< may still be there when one drives off
};

[[nodiscard]] const std::vector<LearnDisturbanceKind>& disturbance_catalogue();

/// A learn as it will happen.
struct LearnPlan {
    Stroke stroke;
    std::vector<fault::Fault> faults{};
    std::optional<Time> cut{};           ///< of the power
    std::optional<Time> key_off{};       ///< the key is turned off then
    std::optional<Time> engine_turns{};  ///< the engine turns from then on
};

/// Lets the disturbances happen to the plan, one after the other. Throws InvalidParameter for an unknown name or place
/// (listing those there are) and for an amount out of range.
[[nodiscard]] LearnPlan with_disturbances(LearnPlan plan, const std::vector<LearnDisturbance>& disturbances);

/// The faults of those disturbances that can stay: not repaired after the learn.
[[nodiscard]] std::vector<fault::Fault> lasting_faults(const std::vector<LearnDisturbance>& disturbances);

}  // namespace twintrack::bench
