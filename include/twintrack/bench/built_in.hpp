// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/control/learned_range.hpp"
#include "twintrack/control/unit.hpp"

namespace twintrack::bench {

/// The built-in controller of a bench that with_engine() has gone over, as a unit like any other.
[[nodiscard]] control::Unit built_in_controller(const std::optional<control::LearnedRange>& learned,
                                                const BenchParameters& p);

}  // namespace twintrack::bench
