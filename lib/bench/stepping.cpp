// SPDX-License-Identifier: BSD-3-Clause
#include "stepping.hpp"

namespace twintrack::bench {

bool step_until(Session& session, Time last, const std::function<bool()>& done, const Interrupt& interrupt) {
    constexpr int ticks_between_questions = 200;  // often enough for a key press, seldom enough to cost nothing
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

}  // namespace twintrack::bench
