// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/controller.hpp"

#include <cmath>

#include "twintrack/control/tuning.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/core/exponential.hpp"

namespace twintrack::control {

namespace {

double checked_period(Time period) {
    require(seconds(period), {1e-6, 1.0}, "period", "s", "period of the controller");
    return seconds(period);
}

std::optional<LearnedRange> checked(std::optional<LearnedRange> learned) {
    if (learned) check(*learned, "learned");
    return learned;
}

const ControllerParameters& checked(const ControllerParameters& p) {
    validate(p, "controller");
    return p;
}

/// One converter code of blade travel [rad].
double code_angle(const std::optional<LearnedRange>& learned, const plant::BodyMechanics& body, int bits) {
    require(bits, {6, 16}, "bits", "", "resolution of the converter in bits");
    if (!learned) return 0.0;
    return (body.stops.open_angle - body.stops.closed_angle) /
           (abs(learned->throttle[0].span()) * (std::exp2(bits) - 1.0));
}

/// Of the integral [rad].
double dead_band(const ControllerParameters& p, const std::optional<LearnedRange>& learned,
                 const plant::BodyMechanics& body, int bits) {
    const double code = code_angle(learned, body, bits);
    return p.dead_band ? *p.dead_band * (body.stops.open_angle - body.stops.closed_angle) : code;
}

/// Without an observer its lag is the filter's; with one, half a period is left of the differencing.
LoopModel make_model(const ControllerParameters& p, const plant::BodyMechanics& body, double period,
                     double filter_time) {
    if (p.observer_pole > 0.0) return loop_model(body, period, filter_time, 0.5 * period);
    return loop_model(body, period, filter_time, p.derivative_filter);
}

PidParameters make_gains(const ControllerParameters& p, const LoopModel& model, double dead_band) {
    PidParameters gains = p.phase_margin ? by_phase_margin(model, p.crossover, *p.phase_margin, p.integral_time)
                                         : damping_optimum(model, p.integral_ratio);
    gains.proportional = p.proportional.value_or(gains.proportional);
    gains.integral = p.integral.value_or(gains.integral);
    gains.derivative = p.derivative.value_or(gains.derivative);
    gains.dead_band = dead_band;
    if (!stable(model, gains))
        throw InvalidParameter("controller.derivative_filter",
                               "the loop is unstable: these gains do not bear lags of " +
                                   std::to_string(1e3 * model.small_time) + " ms (armature, input filter, sampling, " +
                                   "derivative filter); shorten the filter or lower proportional and integral");
    return gains;
}

/// The first track that may be used; their count if there is none.
std::size_t first_trusted(const std::vector<LearnedTrack>& tracks, const Trust& trust) noexcept {
    std::size_t k = 0;
    while (k < tracks.size() && !trust[k]) ++k;
    return k;
}

/// The nominal body with its default position where the learn found it; a single-spring body keeps its own.
plant::BodyMechanics with_learned_default(plant::BodyMechanics body, const std::optional<LearnedRange>& learned) {
    const double travel = body.stops.open_angle - body.stops.closed_angle;
    if (learned && body.springs.rest_angle > body.stops.closed_angle)
        body.springs.rest_angle = body.stops.closed_angle + learned->default_opening * travel;
    return body;
}

ObserverCoefficients<double> make_observer(const ControllerParameters& p, const LoopModel& m, double period) {
    if (p.observer_pole == 0.0) return {};
    return observer_coefficients(m.velocity_gain, m.motor_time, period, p.observer_pole, p.load_pole);
}

/// [share of travel / s]. Friction brakes too, and a tenth of the voltage is taken for it.
double set_point_speed(const ControllerParameters& p, const plant::BodyMechanics& body) {
    constexpr double friction_share = 0.1;
    const double volts = (1.0 + friction_share) * p.duty_limit * p.nominal_supply;
    const double travel = body.stops.open_angle - body.stops.closed_angle;
    return p.set_point_speed.value_or(fastest_set_point(body, p.set_point_time, volts) / travel);
}

LoopCoefficients<double> loop_coefficients(const ControllerParameters& p, const plant::BodyMechanics& body,
                                           const PidParameters& gains, const LoopModel& model, double period) {
    const plant::Coefficients<double> nominal = plant::coefficients(body);
    const double travel = body.stops.open_angle - body.stops.closed_angle;
    PidCoefficients<double> pid = pid_coefficients(gains, period);
    if (p.windup == Windup::held) pid.tracking = 0.0;
    const double filter_step = p.set_point_time > 0.0 ? 1.0 - exponential(-period / p.set_point_time) : 1.0;
    return {period,
            period / Controller::entry_time,
            filter_step,
            travel,
            body.stops.closed_angle,
            p.nominal_supply,
            p.duty_limit,
            p.feed_forward ? 1.0 : 0.0,
            nominal.motor,
            nominal.springs,
            nominal.friction.coulomb,
            nominal.friction.viscous,
            pid,
            set_point_speed(p, body) * period,
            p.rest_band * travel,
            p.rest_band > 0.0 ? p.rest_limit * travel : 0.0,
            p.rest_band > 0.0 ? p.break_away_rate * period : 0.0,
            exponential(-period / push_time),
            p.windup == Windup::held ? 1.0 : 0.0,
            make_observer(p, model, period)};
}

}  // namespace

void check(const ControllerParameters& p, const std::string& path) {
    if (p.observer_pole > 0.0 && p.load_pole > p.observer_pole)
        throw InvalidParameter(dotted(path, "load_pole"), "must not exceed observer_pole (" +
                                                              std::to_string(p.observer_pole) + " 1/s); got " +
                                                              std::to_string(p.load_pole) + " 1/s");
    if (p.rest_band > 0.0 && p.rest_limit < p.rest_band)
        throw InvalidParameter(
            dotted(path, "rest_limit"),
            "must not lie within rest_band (" + std::to_string(p.rest_band) + "); got " + std::to_string(p.rest_limit));
}

void check(const PedalMapParameters& p, const std::string& path) { Table(p.pedal, p.opening, path + ".opening"); }

Controller::Controller(const ControllerParameters& p, const plant::BodyMechanics& body,
                       std::optional<LearnedRange> learned, Time period, double filter_time, int bits)
    : p_(checked(p)),
      learned_(checked(std::move(learned))),
      pedal_map_(p.pedal_map.pedal, p.pedal_map.opening, "controller.pedal_map"),
      period_(checked_period(period)),
      default_opening_(learned_ ? learned_->default_opening : 0.0),
      twitch_(min(default_opening_ + (p.self_test.enabled ? p.self_test.twitch_opening : p.twitch_opening), 1.0)),
      watch_time_(from_seconds(p.self_check_time)),
      run_time_(from_seconds(p.self_check_time + (p.self_test.enabled ? p.self_test.twitch_time : p.twitch_time))),
      gains_(make_gains(p_, make_model(p_, body, period_, filter_time), dead_band(p_, learned_, body, bits))),
      loop_(loop_coefficients(p_, with_learned_default(body, learned_), gains_,
                              make_model(p_, body, period_, filter_time), period_)),
      test_(p.self_test, default_opening_, watch_time_, run_time_),
      stop_(p.closed_stop, period_) {}

double Controller::pedal_position(const Input& in) const noexcept {
    const std::vector<LearnedTrack>& tracks = learned_->pedal;
    const std::size_t lead = first_trusted(tracks, in.pedal_trust);
    if (lead == tracks.size()) return memory_.pedal;
    const double slack = in.lowest_track ? 0.0 : pedal_slack;
    double position = lead == 0 ? tracks[0].linear_position(in.pedal[0]) : tracks[lead].lowest_position(in.pedal[lead]);
    for (std::size_t k = lead + 1; k < tracks.size(); ++k) {
        if (!in.pedal_trust[k] || (lead == 0 && mismatch(tracks, k, in.pedal) <= slack)) continue;
        position = min(position, tracks[k].highest_position(in.pedal[k], slack));
    }
    return position;
}

double Controller::demand(const Input& in, double pedal) const noexcept {
    const double idle = max(in.idle_opening, pedal_map_(0.0));  // idle may always be demanded
    const double slope = in.demand_slope;
    const double foot = in.idle_contact == IdleContact::foot_off ? 0.0 : pedal;  // without it there is no demand
    double asked = min(pedal_map_(foot), max(in.demand_limit, idle));
    if (slope > 0.0) asked = min(asked, max(memory_.demand, idle) + slope * period_);
    return max(asked, in.idle_opening);
}

/// Where foot and blade are, by the tracks in use; without any, where they were.
void Controller::look(const Input& in, Command& out) noexcept {
    memory_.pedal = out.pedal = pedal_position(in);
    memory_.demand = out.demand = demand(in, out.pedal);
    const std::size_t lead = first_trusted(learned_->throttle, in.throttle_trust);
    switched_ = lead != lead_;
    lead_ = lead;
    if (lead < learned_->throttle.size()) {
        const LearnedTrack& track = learned_->throttle[lead];
        const double reading = in.throttle[lead];  // where a curve is flat, the blade may be as far open as it goes
        const double position =
            lead == 0 ? track.linear_position(reading) : min(track.highest_position(reading, 0.0), 1.0);
        if (lead == 0) stop_.step(position, memory_.loop.second, memory_.duty);
        memory_.opening = stop_.opening(position);
    }
    out.set_point = out.opening = memory_.opening;
}

void Controller::drive(const Input& in, Command& out) noexcept {
    LoopState<double>& x = memory_.loop;
    const double feed = follow(loop_, x, in.time < run_time_ ? twitch_ : out.demand);
    out.set_point = x.second;
    const double supply = believed_supply(loop_, in.supply);
    const double limit = loop_.duty_limit * supply;
    double volts = clamp(x.pid.integral + feed, -limit, limit);
    if (lead_ < learned_->throttle.size()) {
        if (switched_) resume(loop_, x, out.opening);
        volts = answer(loop_, x, out.opening, feed, limit);
    }
    out.mode = plant::BridgeMode::drive;
    out.duty = volts / supply;
}

Command Controller::step(const Input& in) noexcept {
    Command out;
    if (!learned_) return out;
    look(in, out);
    out.self_test = test_.step(in.time, out.opening);
    memory_.duty = 0.0;
    if (!in.motor_permitted || !in.key_on || in.time < watch_time_ || test_.motor_off(in.time)) {
        memory_.running = false;
        return out;
    }
    if (!memory_.running) memory_.loop = entered(loop_, out.opening);
    memory_.running = true;
    drive(in, out);
    memory_.duty = out.duty;
    return out;
}

}  // namespace twintrack::control
