// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>

#include "twintrack/bench/session.hpp"

namespace twintrack::bench {

/// Asked now and then during a run; true ends it with the outcome "interrupted" and keeps what was recorded.
using Interrupt = std::function<bool()>;

struct Run {
    Record record;
    Outcome outcome;
    std::vector<monitor::TroubleCode> codes;
};

/// Key on, the stroke for `duration` [s] (absent: as long as the stroke), ticks at 0 … duration inclusive.
[[nodiscard]] Run run(const BenchParameters& p, const Stroke& stroke, std::optional<double> duration = {},
                      SessionOptions options = {}, const Interrupt& interrupt = {});

struct LearnRun {
    control::LearnResult result;
    Record record;
    std::vector<double> state;  ///< the learn's state at each recorded time, as a number of LearnState
    Outcome outcome;
};

/// Runs the range learn on the bench with the foot doing `stroke`, until it is finished or the stroke has ended.
[[nodiscard]] LearnRun learn(const BenchParameters& p, const Stroke& stroke = Stroke::two_presses(),
                             fault::Schedule faults = {}, const Interrupt& interrupt = {});

}  // namespace twintrack::bench
