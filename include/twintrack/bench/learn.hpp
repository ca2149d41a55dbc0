// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <vector>

#include "twintrack/bench/mishap.hpp"
#include "twintrack/bench/session.hpp"
#include "twintrack/control/range_learn.hpp"

namespace twintrack::bench {

/// Asked now and then during a run; true ends it with the outcome "interrupted" and keeps what was recorded.
using Interrupt = std::function<bool()>;

/// What a learn can be given besides its bench.
struct LearnOptions {
    Stroke stroke = Stroke::two_presses();  ///< of the foot, before mishaps
    std::vector<fault::Fault> faults{};     ///< present while it runs
    std::vector<Mishap> mishaps{};          ///< what goes wrong, in this order
    control::RangeStore store{};            ///< what the controller's memory holds before
};

struct LearnRun {
    control::LearnResult result;
    Record record;
    std::vector<double> state;  ///< the learn's state at each recorded time, as a number of LearnState
    Outcome outcome;
    control::RangeStore store;  ///< the memory afterwards: the new record, or the old one as it was
};

/// Runs the range learn on the bench until it is finished or the power is cut; the foot stays where its stroke ends,
/// and every step has a time limit. Mishaps change the foot, the faults or the time of the cut, never the result.
/// Throws InvalidParameter.
[[nodiscard]] LearnRun learn(const BenchParameters& p, const LearnOptions& options, const Interrupt& interrupt = {});

/// The same with nothing going wrong but `faults`.
[[nodiscard]] LearnRun learn(const BenchParameters& p, const Stroke& stroke = Stroke::two_presses(),
                             const fault::Schedule& faults = {}, const Interrupt& interrupt = {});

}  // namespace twintrack::bench
