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

IdleGovernor::IdleGovernor(const IdleParameters& p, Time period, double learned)
    : p_(checked(p)),
      goal_(p.target.coolant, p.target.speed, "idle.target.speed"),
      base_(p.target.coolant, p.target.area, "idle.target.area"),
      period_(seconds(period)),
      descent_(share(period_, p.target.descent_time)),
      fade_(share(period_, p.air.dashpot_time)),
      blend_(share(period_, p.spark.blend_time)),
      learned_(learned) {
    require(period_, {1e-6, 1.0}, "idle.period", "s", "period of the governor");
    require(learned, {-p.air.learn_limit, p.air.learn_limit}, "idle.learned", "m^2", "learned idle air");
}

void IdleGovernor::change_mode(const IdleInput& in, double goal) noexcept {
    if (!in.running) {
        mode_ = in.cranking ? IdleMode::starting : IdleMode::off;
        integral_ = dashpot_ = foot_off_ = 0.0;
        idling_ = 1.0;
        cut_ = false;
        target_ = goal;
        return;
    }
    const bool was_driving = mode_ == IdleMode::driving;
    if (in.pedal > p_.entry.pedal_pressed || (was_driving && in.pedal > p_.entry.pedal_released)) {
        mode_ = IdleMode::driving;
        foot_off_ = 0.0;
        return;
    }
    foot_off_ += period_;
    if (was_driving) {
        mode_ = IdleMode::overrun;
        dashpot_ = p_.air.dashpot_area;
    }
    const bool first = mode_ == IdleMode::starting || mode_ == IdleMode::off;
    const bool near = in.speed < goal + p_.entry.entry_band || foot_off_ >= p_.entry.entry_time;
    if (first || (mode_ == IdleMode::overrun && near)) {
        mode_ = IdleMode::idling;
        target_ = max(goal, in.speed);
    }
}

double IdleGovernor::air(const IdleInput& in, double error) noexcept {
    const IdleAirParameters& a = p_.air;
    dashpot_ -= fade_ * dashpot_;
    const double feed_forward =
        (mode_ == IdleMode::starting ? max(a.start_area, base_(in.coolant)) : base_(in.coolant)) + learned_ + dashpot_ +
        (in.accessory ? a.accessory_area : 0.0);
    const bool closed_loop = mode_ == IdleMode::idling;
    const double wanted = feed_forward + integral_ + (closed_loop ? a.proportional * error : 0.0);
    const bool stuck = (wanted >= a.most && error > 0.0) || (wanted <= a.least && error < 0.0);
    const bool near = abs(error) <= p_.entry.entry_band || foot_off_ >= p_.entry.entry_time;
    if (closed_loop && near && !stuck) integral_ += period_ * a.integral * error;
    return clamp(wanted, a.least, a.most);
}

double IdleGovernor::spark(double error) noexcept {
    if (mode_ == IdleMode::off || mode_ == IdleMode::starting) return p_.spark.start;
    const bool governed = mode_ != IdleMode::driving;
    idling_ += blend_ * ((governed ? 1.0 : 0.0) - idling_);
    const double retard = p_.spark.base - (mode_ == IdleMode::idling ? p_.spark.gain * error : 0.0);
    return idling_ * clamp(retard, 0.0, p_.spark.most);
}

bool IdleGovernor::fuel(const IdleInput& in, double goal) noexcept {
    const IdleEntryParameters& e = p_.entry;
    const bool allowed = e.overrun_cut && foot_off_ >= e.cut_delay;
    cut_ = allowed && in.speed > goal + (cut_ ? e.resume_above : e.cut_above);
    return !cut_;
}

void IdleGovernor::learn(double error) noexcept {
    if (mode_ != IdleMode::idling || abs(error) > p_.air.learn_band) return;
    const double moved = integral_ * period_ / p_.air.learn_time;
    const double before = learned_;
    learned_ = clamp(learned_ + moved, -p_.air.learn_limit, p_.air.learn_limit);
    integral_ -= learned_ - before;
}

IdleOutput IdleGovernor::step(const IdleInput& in) noexcept {
    const double goal = goal_(in.coolant);
    change_mode(in, goal);
    if (mode_ == IdleMode::idling && foot_off_ < p_.entry.entry_time)
        target_ = max(target_, in.speed - p_.entry.entry_band);
    target_ += descent_ * (goal - target_);
    const double error = target_ - in.speed;
    IdleOutput out;
    out.area = air(in, error);
    out.spark_retard = spark(error);
    out.fuel = fuel(in, goal);
    out.goal = goal;
    out.target = target_;
    out.authority = (p_.air.most - out.area) / (p_.air.most - p_.air.least);
    out.mode = mode_;
    learn(error);
    return out;
}

}  // namespace twintrack::engine
