// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/fault/fault.hpp"

namespace twintrack::bench {

/// Throws InvalidParameter for a fault that can have no effect on this bench: one of a track, an idle switch, an engine
/// or a brake that is not there, or one that starts at the end of the run or later.
///
/// `brake`: a brake is fitted. `duration`: of the run; absent when it is not known yet.
void check_faults(const BenchParameters& bench, const std::vector<fault::Fault>& faults, bool brake,
                  std::optional<double> duration);

/// Throws InvalidParameter when the record of so long a run [s] would have more than `most_rows` rows.
void check_length(const BenchParameters& bench, double duration);

inline constexpr double most_rows = 4e6;

}  // namespace twintrack::bench
