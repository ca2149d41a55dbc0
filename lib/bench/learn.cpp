// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/learn.hpp"

#include <algorithm>

#include "stepping.hpp"

namespace twintrack::bench {

using control::LearnResult;
using control::RangeLearn;
using control::Refusal;

namespace {

/// Of a learn that the power left in the middle of a step.
void explain(LearnResult& result, const RangeLearn& procedure, Time now) {
    result.stopped_in = procedure.state();
    result.refusal = Refusal::interrupted;
    result.measured = seconds(now);
    result.reason = "The learn was interrupted after " + control::number(seconds(now)) + " s in the step \"" +
                    name_of(procedure.state()) + "\"; what was learned before stays in force. Run it again.";
}

/// By then every step has ended by its own time limit; the foot stays where its movement ends.
Time longest(const BenchParameters& p, const Stroke& stroke) {
    constexpr double steps = names(Tag<control::LearnState>{}).size();
    return from_seconds(stroke.duration() + steps * p.learn.step_limit);
}

}  // namespace

LearnRun learn(const BenchParameters& p, const LearnOptions& options, const Interrupt& interrupt) {
    validate(p);
    const LearnPlan plan = with_mishaps({.stroke = options.stroke, .faults = options.faults}, options.mishaps);
    RangeLearn procedure(p.learn, p.pedal.tracks.size(), p.body.tracks.size(), from_seconds(p.control_period),
                         options.store, p.pedal.name, p.body.name);
    std::vector<double> state;
    SessionOptions session_options{.faults = fault::Schedule(plan.faults),
                                   .monitored = false,
                                   .key_off = plan.key_off,
                                   .engine_turns = plan.engine_turns};
    Time before{-1};
    bool lost = false;  // a controller that was in reset counts its time anew
    session_options.controller = [&](const control::Input& in) {
        lost = lost || in.time < before;
        before = in.time;
        return lost ? control::Command{} : procedure.step(in);
    };
    BenchParameters standing = p;  // a learn is made with the engine at rest
    standing.engine.reset();
    Session session(standing, plan.stroke, std::move(session_options));
    Time last = longest(p, plan.stroke);
    if (plan.cut) last = std::min(last, *plan.cut);
    const auto note = [&] {
        while (state.size() < session.record().size()) state.push_back(static_cast<double>(procedure.state()));
        return procedure.finished() || lost;
    };
    const bool interrupted = step_until(session, last, note, interrupt);
    note();
    LearnResult result = procedure.result();
    if (!procedure.finished()) explain(result, procedure, session.snapshot().time);
    const Outcome outcome = outcome_of(session, interrupted);
    return {std::move(result), session.take_record(), std::move(state), outcome, procedure.store()};
}

LearnRun learn(const BenchParameters& p, const Stroke& stroke, const fault::Schedule& faults,
               const Interrupt& interrupt) {
    return learn(p, LearnOptions{.stroke = stroke, .faults = faults.faults()}, interrupt);
}

}  // namespace twintrack::bench
