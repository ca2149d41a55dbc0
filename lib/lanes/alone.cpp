// SPDX-License-Identifier: BSD-3-Clause
#include <cmath>

#include "tenant.hpp"

namespace twintrack::lanes {

namespace {

using monitor::Counting;
using monitor::MonitorParameters;

/// A check that counts up and down keeps count of good ticks too.
bool counted(const MonitorParameters& m) {
    const auto counts = [](const monitor::CheckParameters& p) { return p.counting == Counting::counter; };
    return counts(m.range) || counts(m.correlation) || counts(m.deviation) || counts(m.rate.check) ||
           counts(m.stuck.check) || counts(m.drift.check) || counts(m.motion.open) || counts(m.motion.stalled) ||
           counts(m.motion.blocked) || counts(m.motion.against) || counts(m.motion.overload);
}

/// A released brake whose sensor is well says nothing to the monitor.
bool quiet_brake(const bench::BenchParameters& p) {
    const auto& check = p.monitor.brake;
    const double released = p.brake.released, step = 1.0 / (std::exp2(p.acquisition.bits) - 1.0);
    const double seen = std::fabs(step / (p.brake.full - p.brake.released));  // by the converter's rounding
    return released > check.band_low + step && released < check.band_high - step && seen < p.brake.applied;
}

bool looked_at(const Case& c) {
    const MonitorParameters& m = c.bench.monitor;
    bool touched = false;
    for (const fault::Fault& f : c.faults) touched = touched || f.where == "brake";
    return c.brake || touched || m.watcher.enabled || m.device.enabled || !quiet_brake(c.bench);
}

}  // namespace

std::optional<bench::SecondLook> second_look(const Case& c) {
    if (!looked_at(c)) return {};
    return bench::SecondLook(c.bench, c.learned, c.brake, true, from_seconds(c.bench.control_period));
}

bool decided_alone(const Case& c) {
    const MonitorParameters& m = c.bench.monitor;
    return !c.learned || c.bench.controller.self_test.enabled || c.bench.controller.closed_stop.enabled || counted(m) ||
           m.default_position.check.enabled || m.stuck.check.enabled || m.volts_band.enabled || m.volts.pedal.enabled ||
           m.volts.throttle.enabled || looked_at(c);
}

}  // namespace twintrack::lanes
