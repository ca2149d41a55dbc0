// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/engine_loop.hpp"

#include <cmath>

#include "twintrack/bench/signals.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/engine/examples.hpp"

namespace twintrack::bench {

namespace {

/// Effective areas [m²] over openings: knots by the square of the angle, since idle happens close to the closed plate.
struct Areas {
    std::vector<double> opening, area;
};

Areas areas(const plant::AirPathCoefficients<double>& path, const plant::StopParameters& stops, int knots) {
    const double travel = stops.open_angle - stops.closed_angle;
    Areas found;
    for (int k = 0; k <= knots; ++k) {
        const double share = static_cast<double>(k) / knots, y = share * share;
        found.opening.push_back(y);
        found.area.push_back(plant::effective_area(path, stops.closed_angle + y * travel));
    }
    return found;
}

}  // namespace

Table opening_table(const plant::AirPathCoefficients<double>& path, const plant::StopParameters& stops) {
    const Areas all = areas(path, stops, 160);
    std::vector<double> area, opening;
    for (std::size_t k = 0; k < all.area.size(); ++k) {
        if (!area.empty() && all.area[k] <= area.back()) continue;  // only the shaft blocks the bore
        area.push_back(all.area[k]);
        opening.push_back(all.opening[k]);
    }
    return {std::move(area), std::move(opening), "body.air_path"};
}

int engine_steps(Time period) {
    constexpr double longest = 1e-3;  // [s]
    return static_cast<int>(std::ceil(seconds(period) / longest - 1e-9));
}

plant::AirPathCoefficients<double> air_path_of(const sensing::ThrottleBodyParameters& body) {
    plant::AirPathParameters p = body.air_path;
    p.blade_zero += body.mechanics.stops.closed_angle;
    return plant::air_path_coefficients(p);
}

void add_choked_flow(monitor::AirFlowParameters& p, const sensing::ThrottleBodyParameters& body,
                     const plant::Air& air) {
    const plant::Orifice orifice = plant::orifice();
    const plant::GasState<double> outside{air.pressure, air.temperature}, behind{0.1 * air.pressure, air.temperature};
    const Areas all = areas(air_path_of(body), body.mechanics.stops, 40);
    p.opening = all.opening;
    p.flow.clear();
    for (const double area : all.area) p.flow.push_back(plant::orifice_flow(orifice, area, outside, behind));
}

control::PedalMapParameters left_to_governor(control::PedalMapParameters map) {
    const double rest = map.opening.empty() ? 0.0 : map.opening.front();
    for (double& opening : map.opening) {
        if (opening != rest) break;
        opening = 0.0;
    }
    return map;
}

BenchParameters with_engine(BenchParameters p) {
    if (!p.engine) return p;
    p.controller.pedal_map = left_to_governor(std::move(p.controller.pedal_map));
    if (p.engine->air_meter && p.monitor.air_flow.opening.empty())
        add_choked_flow(p.monitor.air_flow, p.body, plant::standard_atmosphere(p.engine->altitude));
    return p;
}

EngineLoop::EngineLoop(const EngineSetup& p, const sensing::ThrottleBodyParameters& body, Time period)
    : p_(p),
      period_(seconds(period)),
      substeps_(engine_steps(period)),
      path_(air_path_of(body)),
      opening_(opening_table(path_, body.mechanics.stops)),
      engine_(p.model, plant::standard_atmosphere(p.altitude)),
      mixture_(p.mixture),
      governor_(p.idle, period, p.learned_air) {}

bool EngineLoop::loaded() const noexcept {
    const double t = seconds(now_);
    return t >= p_.course.accessory_from && t < p_.course.accessory_to;
}

void EngineLoop::govern(double pedal, control::Input& in) {
    now_ = in.time;
    key_ = in.key_on && (!p_.course.key_off || seconds(now_) < *p_.course.key_off);
    const bool running = engine_.status() == engine::EngineStatus::running;
    started_ = started_ || running;
    asked_ = governor_.step({.speed = engine_.speed(),
                             .pedal = pedal,
                             .coolant = p_.coolant,
                             .accessory = p_.course.announced && loaded(),
                             .cranking = engine_.status() == engine::EngineStatus::cranking,
                             .running = key_ && running});
    in.idle_opening = opening_(asked_.area);
    in.air_flow = p_.air_meter ? engine_.flow() : 0.0;
    in.engine = {.running = key_ && running,
                 .speed = engine_.speed(),
                 .coolant = p_.coolant,
                 .idle_goal = asked_.goal,
                 .idle_authority = asked_.authority};
    in.engine_still = in.engine_still && engine_.speed() < still;
    in.key_on = in.key_on && key_;
}

void EngineLoop::sleep(Time now) noexcept {
    now_ = now;
    awake_ = fuel_ = false;
}

void EngineLoop::reboot() {
    governor_ = engine::IdleGovernor(p_.idle, from_seconds(period_), p_.learned_air);
    limit_ = engine::SpeedLimit();
    awake_ = true;
}

double EngineLoop::torque(double angle) const noexcept {
    return plant::air_torque(path_, angle, engine_.air().pressure - engine_.state().pressure);
}

void EngineLoop::obey(const monitor::Action& action) {
    const double limit = action.speed_limit;
    const bool slow = limit <= 0.0 || limit_.step(engine_.speed(), limit);
    fuel_ = key_ && asked_.fuel && slow && action.fuel_permitted;
}

void EngineLoop::advance(double before, double after, double leak) {
    const double t = seconds(now_);
    const EngineCourse& c = p_.course;
    const bool turning = key_ && !started_ && t >= c.start_at && t < c.start_at + c.start_for;
    const double area = 0.5 * (plant::effective_area(path_, before) + plant::effective_area(path_, after));
    const bool runs = engine_.status() == engine::EngineStatus::running;
    const engine::Input in{.area = area,
                           .leak_area = leak,
                           .spark_retard = asked_.spark_retard,
                           .accessory_torque = loaded() ? c.accessory_torque : 0.0,
                           .electrical_power = c.electrical_power + (loaded() ? c.accessory_power : 0.0),
                           .coolant = p_.coolant,
                           .ignition = key_ && awake_,
                           .starter = turning,
                           .fuel = fuel_,
                           .mixture = mixture_.step(area, leak, runs, period_)};
    for (int k = 0; k < substeps_; ++k) engine_.step(in, period_ / substeps_);
}

struct EngineLoop::Values {
    const EngineLoop& loop;

    [[nodiscard]] double speed() const noexcept { return loop.engine_.speed(); }
    [[nodiscard]] double set_point() const noexcept { return loop.asked_.target; }
    [[nodiscard]] double fuel() const noexcept { return loop.fuel_ ? 1.0 : 0.0; }
    [[nodiscard]] double spark() const noexcept { return loop.key_ && loop.awake_ ? 1.0 : 0.0; }
    [[nodiscard]] double spark_retard() const noexcept { return loop.asked_.spark_retard; }
    [[nodiscard]] double manifold_pressure() const noexcept { return loop.engine_.state().pressure; }
    [[nodiscard]] double air_flow() const noexcept { return loop.engine_.flow(); }
    [[nodiscard]] double status() const noexcept { return static_cast<double>(loop.engine_.status()); }
    [[nodiscard]] double idle_opening() const noexcept { return loop.opening_(loop.asked_.area); }
    [[nodiscard]] double idle_area() const noexcept { return loop.asked_.area; }
    [[nodiscard]] double authority() const noexcept { return loop.asked_.authority; }
    [[nodiscard]] double mode() const noexcept { return static_cast<double>(loop.asked_.mode); }
    [[nodiscard]] double lambda() const noexcept { return loop.mixture_.lambda(); }
};

std::span<const Signal> EngineLoop::signals() {
    static const std::vector<Signal> list = names_of(engine_signals<Values>);
    return list;
}

void EngineLoop::append(std::vector<double>& row) const { append_values(engine_signals<Values>, Values{*this}, row); }

void check(const EngineSetup& p, const std::string& path) {
    if (p.mixture.metered && !p.air_meter)
        throw InvalidParameter(dotted(path, "mixture.metered"), "needs an air meter; set air_meter");
    const double limit = p.idle.air.learn_limit;
    require(p.learned_air, {-limit, limit}, dotted(path, "learned_air"), "m^2", "learned idle air");
    if (p.name.empty()) throw InvalidParameter(dotted(path, "name"), "an engine needs a name");
}

std::vector<EngineSetup> built_in_engines() {
    EngineSetup four, eight;
    const engine::EngineExample large = engine::large_eight();
    eight.name = "large-eight";
    eight.model = large.engine;
    eight.idle = large.idle;
    return {four, eight};
}

}  // namespace twintrack::bench
