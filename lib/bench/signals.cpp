// SPDX-License-Identifier: BSD-3-Clause
#include "signals.hpp"

#include "engine_loop.hpp"
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
            {"reaction", ""},
            {"controller.awake", ""},
            {"bridge.state", ""}};
}

}  // namespace

void append_chain(const Snapshot& s, std::vector<double>& row) {
    row.insert(row.end(), {s.pedal_travel,
                           s.pedal_volts[0],
                           s.pedal_volts[1],
                           s.pedal_volts[2],
                           s.asked,
                           s.command.demand,
                           s.command.set_point,
                           s.command.opening,
                           s.blade_opening,
                           s.body.angle,
                           s.body.speed,
                           s.throttle_volts[0],
                           s.throttle_volts[1],
                           s.throttle_volts[2],
                           s.command.duty,
                           s.body.current,
                           s.motor_voltage,
                           s.supply,
                           static_cast<double>(s.reaction),
                           s.awake ? 1.0 : 0.0,
                           static_cast<double>(s.input.bridge.state)});
}

std::vector<Signal> recorded_signals(bool with_engine) {
    std::vector<Signal> all = chain_signals();
    const auto more = EngineLoop::signals();
    if (with_engine) all.insert(all.end(), more.begin(), more.end());
    return all;
}

}  // namespace twintrack::bench
