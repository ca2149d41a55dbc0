// SPDX-License-Identifier: BSD-3-Clause
#include "engine_side.hpp"
#include "twintrack/bench/session.hpp"

namespace twintrack::bench {

namespace {

/// In the order in which a session stores them.
std::vector<Signal> chain_signals() {
    return {{"pedal.travel", ""},
            {"pedal.track1", "V"},
            {"pedal.track2", "V"},
            {"pedal.track3", "V"},
            {"asked", ""},
            {"demand", ""},
            {"set_point", ""},
            {"opening", ""},
            {"blade.opening", ""},
            {"blade.angle", "rad"},
            {"blade.speed", "rad/s"},
            {"throttle.track1", "V"},
            {"throttle.track2", "V"},
            {"throttle.track3", "V"},
            {"duty", ""},
            {"motor.current", "A"},
            {"motor.voltage", "V"},
            {"supply", "V"},
            {"reaction", ""}};
}

}  // namespace

std::vector<Signal> recorded_signals(bool with_engine) {
    std::vector<Signal> all = chain_signals();
    const auto more = EngineSide::signals();
    if (with_engine) all.insert(all.end(), more.begin(), more.end());
    return all;
}

}  // namespace twintrack::bench
