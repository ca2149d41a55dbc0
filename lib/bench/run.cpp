// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/run.hpp"

namespace twintrack::bench {

namespace {

constexpr int ticks_between_questions = 200;  // often enough for a key press, seldom enough to cost nothing

/// Steps until `last` (inclusive), `done` or an interruption; true when the last tick was not reached.
bool step_until(Session& session, Time last, const std::function<bool()>& done, const Interrupt& interrupt) {
    for (int count = 1; session.time() < last; ++count) {
        session.step();
        if (!session.outcome().ok() || (done && done())) return false;
        if (interrupt && count % ticks_between_questions == 0 && interrupt()) return true;
    }
    session.finish();
    return false;
}

Outcome outcome_of(const Session& session, bool interrupted) {
    if (interrupted) return {Status::interrupted, session.time(), "stopped on request"};
    if (!session.outcome().ok()) return session.outcome();
    return {Status::completed, session.snapshot().time, {}};
}

}  // namespace

Run run(const BenchParameters& p, const Stroke& stroke, std::optional<double> duration, SessionOptions options,
        const Interrupt& interrupt) {
    const double length = duration.value_or(stroke.duration());
    require(length, {0.0, 1e6}, "duration", "s", "length of the run");
    Session session(p, stroke, std::move(options));
    const bool interrupted = step_until(session, from_seconds(length), {}, interrupt);
    const Outcome outcome = outcome_of(session, interrupted);
    return {session.take_record(), outcome, session.codes()};
}

LearnRun learn(const BenchParameters& p, const Stroke& stroke, fault::Schedule faults, const Interrupt& interrupt) {
    validate(p);
    control::RangeLearn procedure(p.learn, p.pedal.tracks.size(), p.body.tracks.size(), from_seconds(p.control_period));
    std::vector<double> state;
    SessionOptions options{.learned = {}, .faults = std::move(faults), .controller = {}, .monitored = false};
    std::int64_t tick = 0;
    const std::int64_t record_every = from_seconds(p.record_period).count() / from_seconds(p.control_period).count();
    options.controller = [&](const control::Input& in) {
        const control::Command command = procedure.step(in);
        if (tick++ % record_every == 0) state.push_back(static_cast<double>(procedure.state()));
        return command;
    };
    Session session(p, stroke, std::move(options));
    const bool interrupted = step_until(
        session, from_seconds(stroke.duration()), [&] { return procedure.finished(); }, interrupt);
    control::LearnResult result = procedure.result();
    if (!procedure.finished()) {
        result.stopped_in = procedure.state();
        result.reason = "the foot's movement ended before the learn was finished; it was in the step \"" +
                        std::string(name_of(procedure.state())) + "\"";
    }
    if (result.range) {
        result.range->pedal_name = p.pedal.name;
        result.range->body_name = p.body.name;
    }
    const Outcome outcome = outcome_of(session, interrupted);
    return {std::move(result), session.take_record(), std::move(state), outcome};
}

}  // namespace twintrack::bench
