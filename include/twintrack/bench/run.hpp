// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/session.hpp"

namespace twintrack::bench {

struct Run {
    Record record;
    Outcome outcome;
    std::vector<monitor::TroubleCode> codes;
    monitor::FaultMemory history{};  ///< each code with state, count and freeze-frame
};

/// Key on, the stroke for `duration` [s] (absent: as long as the stroke), ticks at 0 … duration inclusive.
[[nodiscard]] Run run(const BenchParameters& p, const Stroke& stroke, std::optional<double> duration = {},
                      SessionOptions options = {}, const Interrupt& interrupt = {});

}  // namespace twintrack::bench
