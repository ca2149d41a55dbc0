// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/idle_governor.hpp"

#include "twintrack/core/exponential.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::engine {

namespace {

/// What a first-order lag moves per tick, as a share of the way left.
double share(double period, double time) noexcept { return time > 0.0 ? 1.0 - exponential(-period / time) : 1.0; }

const IdleParameters& checked(const IdleParameters& p) {
    validate(p, "idle");
    return p;
}

}  // namespace

IdleCoefficients<double> idle_coefficients(const IdleParameters& p, Time period) {
    const double h = seconds(period);
    require(h, {1e-6, 1.0}, "idle.period", "s", "period of the governor");
    const IdleAirParameters& a = p.air;
    const IdleSparkParameters& s = p.spark;
    const IdleEntryParameters& e = p.entry;
    return {h,
            share(h, p.target.descent_time),
            share(h, a.dashpot_time),
            share(h, s.blend_time),
            a.proportional,
            h * a.integral,
            a.least,
            a.most,
            a.start_area,
            a.accessory_area,
            a.dashpot_area,
            a.learn_time,
            a.learn_band,
            a.learn_limit,
            s.base,
            s.gain,
            s.most,
            s.start,
            e.pedal_released,
            e.pedal_pressed,
            e.entry_band,
            e.entry_time,
            e.overrun_cut ? 1.0 : 0.0,
            e.cut_above,
            e.resume_above,
            e.cut_delay};
}

IdleGovernor::IdleGovernor(const IdleParameters& p, Time period, double learned)
    : goal_(checked(p).target.coolant, p.target.speed, "idle.target.speed"),
      base_(p.target.coolant, p.target.area, "idle.target.area"),
      c_(idle_coefficients(p, period)),
      x_{idle::off, learned, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0} {
    require(learned, {-p.air.learn_limit, p.air.learn_limit}, "idle.learned", "m^2", "learned idle air");
}

IdleOutput IdleGovernor::step(const IdleInput& in) noexcept {
    const auto flag = [](bool set) { return set ? 1.0 : 0.0; };
    const double goal = goal_(in.coolant);
    const IdleSight<double> sight{in.speed,         in.pedal, flag(in.accessory), flag(in.cranking),
                                  flag(in.running), goal,     base_(in.coolant)};
    const IdleAnswer<double> answer = govern(c_, x_, sight);
    return {answer.area, answer.spark_retard, answer.fuel > 0.0, goal, x_.target, answer.authority, mode()};
}

}  // namespace twintrack::engine
