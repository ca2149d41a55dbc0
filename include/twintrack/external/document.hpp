// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/bench/stroke.hpp"
#include "twintrack/control/learned_range.hpp"
#include "twintrack/fault/fault.hpp"

namespace twintrack::external {

/// What another program gets to step.
enum class ModelKind {
    bench,      ///< all of it: foot in, blade and codes out
    plant,      ///< without controller and monitor: duty in, readings out
    controller  ///< the built-in controller alone: readings in, duty out
};

constexpr std::array<std::pair<ModelKind, const char*>, 3> names(Tag<ModelKind>) {
    return {{{ModelKind::bench, "bench"}, {ModelKind::plant, "plant"}, {ModelKind::controller, "controller"}}};
}

/// A fault that can be switched on and off while the model runs.
struct FaultSwitch {
    std::string name;
    fault::Fault fault;
};

/// A bench and what is asked of it, as other programs are given it.
struct Document {
    ModelKind kind = ModelKind::bench;
    std::string token;  ///< of the exported file; empty elsewhere
    bench::BenchParameters bench;
    std::optional<control::LearnedRange> learned;
    bool learns = false;  ///< the range learn is run at the start, in place of `learned`
    bench::Stroke stroke = bench::Stroke::rest_half_full_rest();
    std::optional<bench::Stroke> brake;
    std::vector<fault::Fault> faults;
    std::vector<FaultSwitch> switches;
};

/// Reads it from JSON, an object with these keys, each of which may be left out:
///
///     kind       "bench", "plant" or "controller"
///     token      text
///     bench      the fields of BenchParameters by name, parts as objects; what is left out keeps its default
///     learned    "none", "fresh" (the range learn is run first), or {"pedal": [[33 readings], …], "throttle": […],
///                "default_opening": number}
///     stroke     {"time": [s], "travel": [0 … 1]}; brake likewise
///     faults     [{"where", "what", "amount", "start", "end", "ramp", "other", "every", "lasting"}], times in s
///     switches   the same with a "name"
///
/// Throws InvalidParameter that says where, what, and what is allowed.
[[nodiscard]] Document read_document(const std::string& json);

}  // namespace twintrack::external
