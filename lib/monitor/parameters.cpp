// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/parameters.hpp"

namespace twintrack::monitor {

namespace {

constexpr CheckParameters off{.enabled = false};

}  // namespace

void check(const AirFlowParameters& p, const std::string& path) {
    if (!p.opening.empty() || !p.flow.empty()) Table(p.opening, p.flow, path + ".flow");
}

AirFlowCheck::AirFlowCheck(const AirFlowParameters& p)
    : most_(p.opening.empty() ? Table({0.0, 1.0}, {0.0, 0.0}) : Table(p.opening, p.flow, "monitor.air_flow.flow")),
      margin_(1.0 + p.margin),
      floor_(p.floor),
      known_(!p.opening.empty()) {}

bool AirFlowCheck::too_much(double opening, double air_flow) const noexcept {
    return known_ && air_flow > floor_ + margin_ * most_(opening);
}

MonitorParameters unwatched() {
    MonitorParameters p;
    p.range = p.correlation = p.blind = p.deviation = p.not_closing = off;
    p.rate.check = p.stuck.check = p.drift.check = p.volts.check = off;
    p.motion.open = p.motion.overload = p.motion.stalled = p.motion.blocked = p.motion.against = off;
    p.return_spring.check = p.default_position.check = off;
    p.supply.check = p.reference.check = p.brake.check = p.brake.sensor = p.idle_switch.check = p.air_flow.check = off;
    p.electronics.reset = p.electronics.resets = p.electronics.shorted = off;
    p.electronics.off_open = p.electronics.hot = off;
    p.idle_speed.low = p.idle_speed.high = p.idle_speed.system = off;
    p.fallback = false;
    p.reactions.clear();
    return p;
}

MonitorParameters careless() {
    MonitorParameters p = unwatched();
    p.band_low = 0.01;
    p.band_high = 0.99;
    p.deviation_limit = 0.3;
    p.range = {.confirm_time = 1.0};
    p.deviation = {.confirm_time = 3.0};
    p.reactions = competition_reactions();
    return p;
}

MonitorParameters strict() {
    MonitorParameters p;
    p.band_low = 0.05;
    p.band_high = 0.95;
    p.correlation_limit = 0.06;
    p.deviation_limit = 0.08;
    p.range.confirm_time = p.correlation.confirm_time = 0.05;
    p.blind.confirm_time = 0.06;
    p.deviation.confirm_time = 0.3;
    p.default_position.check.enabled = true;
    p.supply.low = 8.0;
    p.supply.high = 16.0;
    p.brake.check.confirm_time = 0.5;
    p.stuck.moved = 0.07;
    p.stuck.check.enabled = true;
    p.function_monitor.enabled = p.device.enabled = true;
    return p;
}

MonitorParameters graded() {
    MonitorParameters p;
    p.reactions = graded_reactions();
    p.function_monitor.enabled = p.function_monitor.lowest_pedal = true;
    return p;
}

}  // namespace twintrack::monitor
