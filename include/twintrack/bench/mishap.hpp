// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "twintrack/bench/stroke.hpp"
#include "twintrack/fault/fault.hpp"

namespace twintrack::bench {

/// Something that goes wrong during a range learn: a named cause, not a patched result.
struct Mishap {
    std::string name{};              ///< of the catalogue
    std::optional<double> amount{};  ///< in the unit the catalogue gives; absent: its usual amount
    std::string where{};             ///< for those that need a place: "pedal.track1", "throttle", …
};

/// An entry of the list of mishaps there are.
struct MishapKind {
    const char* name;
    const char* unit;
    double least, most;  ///< allowed amounts; equal: takes none
    double usual;
    std::vector<std::string> places;  ///< empty: needs none
    const char* meaning;
    std::vector<double> severities{};  ///< amounts worth trying, mild first; empty: takes none
    bool can_stay = false;             ///< may still be there when one drives off
};

[[nodiscard]] const std::vector<MishapKind>& mishap_catalogue();

/// A learn as it will happen.
struct LearnPlan {
    Stroke stroke;
    std::vector<fault::Fault> faults{};
    std::optional<Time> cut{};           ///< of the power
    std::optional<Time> key_off{};       ///< the key is turned off then
    std::optional<Time> engine_turns{};  ///< the engine turns from then on
};

/// Lets the mishaps happen to the plan, one after the other. Throws InvalidParameter for an unknown name or place
/// (listing those there are) and for an amount out of range.
[[nodiscard]] LearnPlan with_mishaps(LearnPlan plan, const std::vector<Mishap>& mishaps);

/// The faults of those mishaps that can stay: what nobody mends after the learn.
[[nodiscard]] std::vector<fault::Fault> lasting_faults(const std::vector<Mishap>& mishaps);

}  // namespace twintrack::bench
