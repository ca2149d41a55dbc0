// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/run.hpp"

#include "stepping.hpp"
#include "twintrack/bench/fault_checks.hpp"

namespace twintrack::bench {

Run run(const BenchParameters& p, const Stroke& stroke, std::optional<double> duration, SessionOptions options,
        const Interrupt& interrupt) {
    const double length = duration.value_or(stroke.duration());
    require(length, {0.0, 1e6}, "duration", "s", "length of the run");
    check_length(p, length);
    check_faults(p, options.faults.faults(), options.brake.has_value(), length);
    Session session(p, stroke, std::move(options));
    const bool interrupted = step_until(session, from_seconds(length), {}, interrupt);
    const Outcome outcome = outcome_of(session, interrupted);
    return {session.take_record(), outcome, session.codes(), session.history()};
}

}  // namespace twintrack::bench
