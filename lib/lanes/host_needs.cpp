// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>
#include <cmath>

#include "checks.hpp"
#include "lane_case.hpp"

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

/// The brake is pressed, or its sensor is touched by a fault.
bool brakes(const Case& c) {
    return c.brake || std::any_of(c.faults.begin(), c.faults.end(), [](const auto& f) { return f.where == "brake"; });
}

bool looked_at(const Case& c) {
    const MonitorParameters& m = c.bench.monitor;
    return brakes(c) || m.function_monitor.enabled || m.device.enabled || !quiet_brake(c.bench);
}

/// The lane can tell the function monitor's past pedal readings.
bool follows_function_monitor(const bench::BenchParameters& p) {
    if (!p.monitor.function_monitor.enabled) return true;
    const auto& opening = p.controller.pedal_map.opening;
    const auto ticks = from_seconds(p.monitor.function_monitor.lag) / from_seconds(p.control_period);
    return ticks + 2 < history_places && std::is_sorted(opening.begin(), opening.end());
}

}  // namespace

std::optional<bench::IndependentSupervision> independent_supervision(const Case& c) {
    if (!looked_at(c)) return {};
    return bench::IndependentSupervision(c.bench, c.learned, c.brake, true, from_seconds(c.bench.control_period));
}

bool needs_host_every_tick(const Case& c) {
    const MonitorParameters& m = c.bench.monitor;
    return !c.learned || c.bench.controller.self_test.enabled || c.bench.controller.closed_stop.enabled ||
           m.volts_band.enabled || m.volts.pedal.enabled || m.volts.throttle.enabled || !missed_check(m).empty() ||
           brakes(c) || !follows_function_monitor(c.bench);
}

bool starts_with_host(const MonitorParameters& m) { return m.default_position.check.enabled || m.stuck.check.enabled; }

}  // namespace twintrack::lanes
