// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/parameters.hpp"

namespace twintrack::web {

/// What a key-on or a range learn is given, read from JSON:
///
///     {"bench": {…}, "learned": {…}, "stroke": {"time": […], "travel": […]}, "brake": true,
///      "faults": [{"where", "what", "other", "amount", "start", "end", "ramp", "every", "lasting"}, …],
///      "disturbances": [{"name", "amount", "where"}, …]}
///
/// `bench` and `learned` are what `to_dict()` gives in Python; all but `bench` may be left out. Without a stroke the
/// foot rests until it is moved.
struct Document {
    bench::BenchParameters bench;
    std::optional<control::LearnedRange> learned{};
    std::optional<bench::Stroke> stroke{};
    bool brake = false;
    std::vector<fault::Fault> faults{};
    std::vector<bench::LearnDisturbance> disturbances{};
};

/// InvalidParameter, with the place, for what cannot be read.
[[nodiscard]] Document document_of(const std::string& json);
[[nodiscard]] fault::Fault fault_of(const std::string& json);
[[nodiscard]] control::ControllerParameters controller_of(const std::string& json);

}  // namespace twintrack::web
