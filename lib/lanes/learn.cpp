// SPDX-License-Identifier: BSD-3-Clause
// A range learn in its lane.
#include "lane_case.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::lanes {

Case learn_case(const bench::BenchParameters& bench, const bench::LearnOptions& options) {
    if (options.unit) throw InvalidParameter("learn", "a learn of one's own runs in the exact solver only");
    const bench::LearnProcedure procedure(bench, options);
    Case c;
    c.bench = bench::standing(bench);
    c.stroke = procedure.plan().stroke;
    c.duration = seconds(procedure.last());
    c.faults = procedure.plan().faults;
    c.learn = options;
    return c;
}

void LaneCase::learn() {
    control::Input in = input(false);
    const bench::LearnPlan& plan = learning_->plan();
    in.key_on = !(plan.key_off && in.time >= *plan.key_off);
    in.engine_still = !(plan.engine_turns && in.time >= *plan.engine_turns);
    take(learning_->step(in));
    if (learning_->over()) ticks_ = tick() + 1;
}

}  // namespace twintrack::lanes
