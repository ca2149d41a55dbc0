// SPDX-License-Identifier: BSD-3-Clause
// The engine of a case in its lane.
#include "lane_case.hpp"
#include "twintrack/bench/signals.hpp"

namespace twintrack::lanes {

namespace {

/// The points of a delay in a lane's row.
struct RowRing {
    double* points;
    void put(double number, double angle, double value) noexcept {
        double* point = points + 2 * static_cast<std::size_t>(number);
        point[0] = angle, point[1] = value;
    }
};

void set_course(const bench::EngineSetup& p, Time period, EngineFields<double>& e) {
    const bench::EngineCourse& c = p.course;
    const auto from = [period](double t) { return static_cast<double>(first_tick(t, period)); };
    e.start_from = from(c.start_at), e.start_to = from(c.start_at + c.start_for);
    e.key_off = c.key_off ? from(*c.key_off) : never;
    e.load_from = from(c.accessory_from), e.load_to = from(c.accessory_to);
    e.power = c.electrical_power, e.load_power = c.accessory_power, e.load_torque = c.accessory_torque;
    e.announced = c.announced ? 1.0 : 0.0;
}

/// What wakes the lane for the checks of idle speed and air flow; the clocks begin as the monitor's.
void set_looks(const Case& c, EngineFields<double>& e) {
    const bench::EngineSetup& p = *c.bench.engine;
    const monitor::IdleSpeedParameters& m = c.bench.monitor.idle_speed;
    e.run_delay = static_cast<double>(from_seconds(m.start_delay).count());
    e.release_delay = static_cast<double>(from_seconds(m.release_delay).count());
    e.released_pedal = m.pedal_released;
    const bool warm = !(p.coolant < m.coolant), system = warm && m.system.enabled;
    const double off = system ? m.off_target : never;
    e.below = warm && m.low.enabled ? min(m.below, off) : off;
    e.above = warm && m.high.enabled ? min(m.above, off) : off;
    e.at_limit = system ? 1.0 : 0.0;
    e.ran = e.foot_off = -1.0;
    const monitor::AirFlowParameters& a = c.bench.monitor.air_flow;
    const bool looks = p.air_meter && a.check.enabled && !a.opening.empty();
    e.flow_floor = looks ? a.floor : never;
    e.flow_margin = looks ? 1.0 + a.margin : 0.0;
}

/// A table in a lane's row. No piece of it is in use yet.
OwnTable<double> put_table(const Table& t, TablePlace p, double* row) {
    for (int k = 0; k < p.capacity; ++k) {
        const bool inside = static_cast<std::size_t>(k) < t.x().size();
        row[p.place + k] = inside ? t.x()[static_cast<std::size_t>(k)] : never;
        row[p.place + p.capacity + k] = inside ? t.y()[static_cast<std::size_t>(k)] : t.y().back();
    }
    return {t.x().front(), 0.0, -never, 0.0, 0.0, 1.0};
}

Table choked_flow(const monitor::AirFlowParameters& p) {
    return p.opening.empty() || !fits_lanes(p) ? Table({0.0}, {0.0}) : Table(p.opening, p.flow);
}

}  // namespace

bool fits_lanes(const monitor::AirFlowParameters& p) {
    return p.opening.size() < static_cast<std::size_t>(choked_place.capacity);
}

std::int64_t first_tick(double t, Time period) {
    std::int64_t tick = (from_seconds(t) + period - Time{1}) / period;
    while (tick > 0 && seconds((tick - 1) * period) >= t) --tick;
    while (seconds(tick * period) < t) ++tick;
    return tick;
}

EngineFields<double> engine_fields(const Case& c, double angle, Time period, Block& block, std::size_t lane) {
    EngineFields<double> e{};
    e.key = 1.0, e.key_off = never;
    e.opening = e.choked = {0.0, 0.0, never, 0.0, 0.0, 1.0};  // zero everywhere
    if (!c.bench.engine) return e;
    const bench::EngineSetup& p = *c.bench.engine;
    const engine::Coefficients<double> model = engine::coefficients(p.model);
    const plant::Air air = plant::standard_atmosphere(p.altitude);
    e.there = 1.0;
    e.manifold = model.manifold, e.cylinders = model.cylinders, e.rotation = model.rotation;
    e.turn = engine::step_coefficients(p.model);
    e.idle = engine::idle_coefficients(p.idle, period);
    e.path = bench::air_path_of(c.bench.body);
    e.air = {air.pressure, air.temperature};
    e.span = seconds(period) / bench::engine_steps(period);
    const auto& target = p.idle.target;
    e.cold = engine::cold_factor(p.model.rotation, p.coolant);
    e.goal = Table(target.coolant, target.speed)(p.coolant), e.base = Table(target.coolant, target.area)(p.coolant);
    set_course(p, period, e);
    set_looks(c, e);
    e.governor.learned = p.learned_air;
    e.area = plant::effective_area(e.path, angle);
    double* row = block.engine(lane);
    RowRing fuel{row}, spark{row + ring_places};
    e.state = engine::at_rest(p.model.manifold, e.turn, air, fuel, spark);
    e.opening = put_table(bench::opening_table(e.path, c.bench.body.mechanics.stops), opening_place, row);
    e.choked = put_table(choked_flow(c.bench.monitor.air_flow), choked_place, row);
    return e;
}

void LaneCase::tell_of_engine(control::Input& in) const {
    const EngineFields<double>& e = names_.engine;
    const double speed = get(e.state.x.speed);
    const bool running = static_cast<engine::EngineStatus>(get(e.state.status)) == engine::EngineStatus::running;
    in.idle_opening = get(e.idle_opening);
    in.air_flow = case_.bench.engine->air_meter ? get(e.state.flow) : 0.0;
    in.key_on = get(e.key) > 0.0;
    in.engine = {.running = in.key_on && running,
                 .speed = speed,
                 .coolant = case_.bench.engine->coolant,
                 .idle_goal = get(e.goal),
                 .idle_authority = get(e.asked.authority)};
    in.engine_still = speed < bench::EngineLoop::still;
}

/// A new monitor continues from the clocks of the lane, as they were at the tick before; these are a tick ahead.
void LaneCase::resume_clocks() {
    const auto before = [&](const double& clock) {
        const Time now{static_cast<std::int64_t>(get(clock))};
        return now > Time{} ? now - period_ : Time{-1};
    };
    monitor_->idle_speed().resume({before(names_.engine.ran), before(names_.engine.foot_off)});
}

void LaneCase::follow_clocks() {
    const monitor::IdleSpeedCheck::Clocks& clocks = monitor_->idle_speed().clocks();
    at(names_.engine.ran) = static_cast<double>(clocks.running.count());
    at(names_.engine.foot_off) = static_cast<double>(clocks.released.count());
}

/// What the reaction leaves of the fuel.
void LaneCase::limit_fuel(const monitor::Action& action) {
    const EngineFields<double>& e = names_.engine;
    const double limit = action.speed_limit;
    const bool slow = limit <= 0.0 || speed_limit_.step(get(e.state.x.speed), limit);
    if (!slow || !action.fuel_permitted) at(e.fuel) = 0.0;
}

/// The engine of the lane, as the table of bench/signals.hpp needs it.
struct LaneCase::EngineValues {
    const LaneCase& c;
    const EngineFields<double>& e = Block::names().engine;

    [[nodiscard]] double speed() const noexcept { return c.get(e.state.x.speed); }
    [[nodiscard]] double set_point() const noexcept { return c.get(e.governor.target); }
    [[nodiscard]] double fuel() const noexcept { return c.get(e.fuel); }
    [[nodiscard]] double spark() const noexcept { return c.get(e.key); }
    [[nodiscard]] double spark_retard() const noexcept { return c.get(e.asked.spark_retard); }
    [[nodiscard]] double manifold_pressure() const noexcept { return c.get(e.state.x.pressure); }
    [[nodiscard]] double air_flow() const noexcept { return c.get(e.state.flow); }
    [[nodiscard]] double status() const noexcept { return c.get(e.state.status); }
    [[nodiscard]] double idle_opening() const noexcept { return c.get(e.idle_opening); }
    [[nodiscard]] double idle_area() const noexcept { return c.get(e.asked.area); }
    [[nodiscard]] double authority() const noexcept { return c.get(e.asked.authority); }
    [[nodiscard]] double mode() const noexcept { return c.get(e.governor.mode); }
    [[nodiscard]] double lambda() const noexcept { return 1.0; }  // what changes it is refused (first_fields.cpp)
};

double LaneCase::engine_signal(std::size_t which) const {
    return bench::engine_signals<EngineValues>.at(which).value({*this});
}

}  // namespace twintrack::lanes
