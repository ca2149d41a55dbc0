// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/idle_speed.hpp"

#include "twintrack/core/number.hpp"

namespace twintrack::monitor {

namespace {

/// How long a condition has held, counted as `Debounce` does.
Time held(Time so_far, bool holds, Time period) noexcept {
    return !holds ? Time{-1} : so_far < Time{0} ? Time{0} : so_far + period;
}

}  // namespace

IdleSpeedCheck::IdleSpeedCheck(const IdleSpeedParameters& p, Time period) noexcept
    : p_(p),
      period_(period),
      start_delay_(from_seconds(p.start_delay)),
      release_delay_(from_seconds(p.release_delay)) {}

IdleSpeedCheck::Found IdleSpeedCheck::step(const control::EngineReadings& engine, double pedal,
                                           bool disturbed) noexcept {
    clocks_.running = held(clocks_.running, engine.running, period_);
    clocks_.released = held(clocks_.released, pedal <= p_.pedal_released && !disturbed, period_);
    if (clocks_.running <= start_delay_ || clocks_.released <= release_delay_ || engine.coolant < p_.coolant) return {};
    const double error = engine.speed - engine.idle_goal;
    const bool at_limit = engine.idle_authority <= 0.0 || engine.idle_authority >= 1.0;
    return {error<-p_.below, error> p_.above, at_limit || abs(error) > p_.off_target};
}

}  // namespace twintrack::monitor
