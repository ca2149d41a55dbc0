// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/learn.hpp"

#include <algorithm>

#include "stepping.hpp"

namespace twintrack::bench {

using control::LearnResult;
using control::LearnUnit;
using control::Refusal;

namespace {

/// Of a learn that the power left in the middle of a step.
void explain(LearnResult& result, const LearnUnit& procedure, Time now) {
    result.stopped_in = procedure.state();
    result.refusal = Refusal::interrupted;
    result.measured = seconds(now);
    result.reason = "The learn was interrupted after " + control::number(seconds(now)) + " s in the step \"" +
                    name_of(procedure.state()) + "\"; what was learned before stays in force. Run it again.";
}

LearnUnit learn_of(const BenchParameters& p, const LearnOptions& options) {
    if (options.unit)
        return control::OwnLearn(made(options.unit, "learn", options.store.read().range, p), options.store);
    return control::RangeLearn(p.learn, p.pedal.tracks.size(), p.body.tracks.size(), from_seconds(p.control_period),
                               options.store, p.pedal.name, p.body.name);
}

/// By then every step has ended by its own time limit; the foot stays where its movement ends.
Time longest(const BenchParameters& p, const Stroke& stroke) {
    constexpr double steps = names(Tag<control::LearnState>{}).size();
    return from_seconds(stroke.duration() + steps * p.learn.step_limit);
}

}  // namespace

LearnProcedure::LearnProcedure(const BenchParameters& p, const LearnOptions& options)
    : plan_(with_disturbances({.stroke = options.stroke, .faults = options.faults}, options.disturbances)),
      last_(longest(p, plan_.stroke)),
      procedure_(learn_of(p, options)) {
    if (plan_.cut) last_ = std::min(last_, *plan_.cut);
}

control::Command LearnProcedure::step(const control::Input& in) {
    lost_ = lost_ || in.time < before_;
    before_ = in.time;
    return lost_ ? control::Command{} : procedure_.step(in);
}

LearnResult LearnProcedure::result(Time now) const {
    LearnResult result = procedure_.result();
    if (!procedure_.finished()) explain(result, procedure_, now);
    return result;
}

BenchParameters standing(BenchParameters p) {
    p.engine.reset();
    return p;
}

LearnRun learn(const BenchParameters& p, const LearnOptions& options, const Interrupt& interrupt) {
    validate(p);
    LearnProcedure procedure(p, options);
    std::vector<double> state;
    SessionOptions session_options{.faults = fault::Schedule(procedure.plan().faults),
                                   .controller = [&](const control::Input& in) { return procedure.step(in); },
                                   .monitored = false,
                                   .key_off = procedure.plan().key_off,
                                   .engine_turns = procedure.plan().engine_turns};
    Session session(standing(p), procedure.plan().stroke, std::move(session_options));
    const auto note = [&] {
        while (state.size() < session.record().size()) state.push_back(static_cast<double>(procedure.state()));
        return procedure.over();
    };
    const bool interrupted = step_until(session, procedure.last(), note, interrupt);
    note();
    LearnResult result = procedure.result(session.snapshot().time);
    const Outcome outcome = outcome_of(session, interrupted);
    if (outcome.status == Status::unit_failure) {
        result.refusal = Refusal::unit_failed;
        result.reason = outcome.reason;
    }
    return {std::move(result), session.take_record(), std::move(state), outcome, procedure.store()};
}

LearnRun learn(const BenchParameters& p, const Stroke& stroke, const fault::Schedule& faults,
               const Interrupt& interrupt) {
    return learn(p, LearnOptions{.stroke = stroke, .faults = faults.faults()}, interrupt);
}

}  // namespace twintrack::bench
