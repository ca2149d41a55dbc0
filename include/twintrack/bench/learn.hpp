// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <vector>

#include "twintrack/bench/learn_disturbance.hpp"
#include "twintrack/bench/session.hpp"
#include "twintrack/control/learn_unit.hpp"

/// Caution: local law and licensed practice come first. A simulation is no proof of safety. At a real throttle:
/// engine off, wheels chocked, hands and tools out of the bore; the blade can move by itself.
namespace twintrack::bench {

/// Called from time to time during a run; true ends it with the outcome "interrupted" and keeps what was recorded.
using Interrupt = std::function<bool()>;

/// What a learn can be given besides its bench.
struct LearnOptions {
    Stroke stroke = Stroke::two_presses();         ///< of the foot, before disturbances
    std::vector<fault::Fault> faults{};            ///< present while it runs
    std::vector<LearnDisturbance> disturbances{};  ///< applied in this order
    control::RangeStore store{};                   ///< what the controller's memory holds before
    LearnFactory unit{};                           ///< a learn of one's own; empty: the built-in one
};

/// A range learn step by step, as the exact solver and the lanes both run it.
class LearnProcedure {
public:
    /// Throws InvalidParameter.
    LearnProcedure(const BenchParameters& p, const LearnOptions& options);

    /// Foot, faults and key, with the disturbances in them.
    [[nodiscard]] const LearnPlan& plan() const noexcept { return plan_; }
    /// Time of the last tick there can be: every step has ended by its own time limit, or the power is cut.
    [[nodiscard]] Time last() const noexcept { return last_; }
    /// The controller's output at a tick. One that was in reset counts its time anew, and has lost the learn.
    /// UnitFailure when a learn of one's own fails.
    control::Command step(const control::Input& in);
    [[nodiscard]] bool over() const noexcept { return lost_ || procedure_.finished(); }
    [[nodiscard]] control::LearnState state() const noexcept { return procedure_.state(); }
    /// What has become of it when the tick at `now` was the last.
    [[nodiscard]] control::LearnResult result(Time now) const;
    [[nodiscard]] const control::RangeStore& store() const noexcept { return procedure_.store(); }

private:
    LearnPlan plan_;
    Time last_;
    Time before_{-1};
    bool lost_ = false;
    control::LearnUnit procedure_;
};

/// The bench of a learn: its engine, if it has one, is at rest.
[[nodiscard]] BenchParameters standing(BenchParameters p);

struct LearnRun {
    control::LearnResult result;
    Record record;
    std::vector<double> state;  ///< the learn's state at each recorded time, as a number of LearnState
    Outcome outcome;
    control::RangeStore store;  ///< the memory afterwards: the new record, or the old one as it was
};

/// Runs the range learn on the bench until it is finished or the power is cut; the foot stays where its stroke ends,
/// and every step has a time limit. Disturbances change the foot, the faults or the time of the cut, never the result.
/// Throws InvalidParameter.
[[nodiscard]] LearnRun learn(const BenchParameters& p, const LearnOptions& options, const Interrupt& interrupt = {});

/// As above, without learn disturbances; `faults` are active.
[[nodiscard]] LearnRun learn(const BenchParameters& p, const Stroke& stroke = Stroke::two_presses(),
                             const fault::Schedule& faults = {}, const Interrupt& interrupt = {});

}  // namespace twintrack::bench
