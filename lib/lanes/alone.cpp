// SPDX-License-Identifier: BSD-3-Clause
#include <cmath>

#include "checks.hpp"
#include "tenant.hpp"

namespace twintrack::lanes {

namespace {

using monitor::MonitorParameters;

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
    return !c.learned || c.bench.controller.self_test.enabled || c.bench.controller.closed_stop.enabled ||
           m.volts_band.enabled || m.volts.pedal.enabled || m.volts.throttle.enabled || !missed_check(m).empty() ||
           looked_at(c);
}

}  // namespace twintrack::lanes
