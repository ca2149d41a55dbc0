// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"
#include "kernel.hpp"

/// The engine and its idle governor in lanes, from the laws of lib/engine; as bench::EngineLoop from tick to tick.
namespace twintrack::lanes {

/// The points of a delay in each lane's row, from `place` on.
template <class T>
class LaneRing {
public:
    LaneRing(double* rows, int place) noexcept : rows_{rows}, place_(static_cast<std::uint64_t>(place)) {}

    [[nodiscard]] T angle(const T& number) const noexcept { return get(number, place_); }
    [[nodiscard]] T value(const T& number) const noexcept { return get(number, place_ + 1); }
    void put(const T& number, const T& angle, const T& value) noexcept {
        for (int k = 0; k < T::lanes / T::width; ++k) {
            const auto at = slot(number, k);
            rows_.template put<T::width>(k, at + place_, angle.r[k]);
            rows_.template put<T::width>(k, at + place_ + 1, value.r[k]);
        }
    }

private:
    static auto slot(const T& number, int k) noexcept {
        return wrapped<T::width>(number.r[k], engine::delay_slots) * 2;
    }
    [[nodiscard]] T get(const T& number, std::uint64_t from) const noexcept {
        return T::of([&](int k) { return rows_.template get<T::width>(k, slot(number, k) + from); });
    }

    EngineRows rows_;
    std::uint64_t place_;
};

template <class T>
[[nodiscard]] T flag(const auto& condition) noexcept {
    return select(condition, T(1.0), T(0.0));
}

/// How long [us] a condition has held, as monitor::IdleSpeedCheck counts it.
template <class T>
[[nodiscard]] T held(const T& so_far, const auto& condition, const T& period) noexcept {
    const T zero(0.0);
    return select(condition, select(so_far < zero, zero, so_far + period), T(-1.0));
}

/// Lanes of which the monitor's checks of idle speed and air flow may find something, and the clocks of the former.
template <class T>
[[nodiscard]] auto idles_badly(LaneFields<T>& l, const Shape& shape) noexcept {
    const T zero(0.0), one(1.0);
    EngineFields<T>& e = l.engine;
    const auto running = engine::status::is(e.state.status, engine::status::running) & (e.key > zero);
    e.ran = held(e.ran, running, l.schedule.period);
    e.foot_off = held(e.foot_off, l.pedal_read <= e.released_pedal, l.schedule.period);
    const T error = e.state.x.speed - e.goal;
    const auto at_limit = (e.at_limit > zero) & ((e.asked.authority <= zero) | (e.asked.authority >= one));
    const auto off = at_limit | (error < -e.below) | (error > e.above);
    const T choked = looked_up(e.choked, EngineRows{shape.engines}, choked_place, l.opening_read);
    const auto too_much = e.state.flow > e.flow_floor + e.flow_margin * choked;
    return too_much | (off & (e.ran > e.run_delay) & (e.foot_off > e.release_delay));
}

/// Air requested by the governor. What a reaction leaves of the fuel is decided by the host.
template <class T>
[[gnu::noinline, gnu::flatten]] void govern(LaneFields<T>& l, const Shape& shape) noexcept {
    const T zero(0.0);
    EngineFields<T>& e = l.engine;
    const auto within = [&](const T& from, const T& to) { return (l.tick >= from) & (l.tick < to); };
    const auto there = e.there > zero;
    const auto key = l.tick < e.key_off;
    const auto running = engine::status::is(e.state.status, engine::status::running);
    const auto load = within(e.load_from, e.load_to);
    e.key = flag<T>(key), e.load = flag<T>(load);
    e.started = max(e.started, flag<T>(running));
    e.starter = flag<T>(key & !(e.started > zero) & within(e.start_from, e.start_to));
    const T speed = e.state.x.speed;
    const auto cranking = engine::status::is(e.state.status, engine::status::cranking);
    e.asked = engine::govern(e.idle, e.governor,
                             engine::IdleSight<T>{speed, l.pedal_read, flag<T>(load & (e.announced > zero)),
                                                  flag<T>(cranking), flag<T>(key & running), e.goal, e.base});
    e.fuel = select(key, e.asked.fuel, zero);
    e.idle_before = e.idle_opening;
    e.idle_opening = select(there, looked_up(e.opening, EngineRows{shape.engines}, opening_place, e.asked.area), zero);
    const T torque = plant::air_torque(e.path, l.state.x.angle, e.air.pressure - e.state.x.pressure);
    e.torque = select(there, torque, zero);
    e.needs_host = flag<T>(there & idles_badly(l, shape));
}

/// From this tick to the next one, after the body.
template <class T>
[[gnu::noinline, gnu::flatten]] void turn_engines(LaneFields<T>& l, const Shape& shape) noexcept {
    const T zero(0.0);
    EngineFields<T>& e = l.engine;
    const T area = plant::effective_area(e.path, l.state.x.angle);
    const auto loaded = e.load > zero;
    const engine::EngineOrders<T> orders{T(0.5) * (e.area + area),
                                         e.leak,
                                         e.asked.spark_retard,
                                         select(loaded, e.load_torque, zero),
                                         e.power + select(loaded, e.load_power, zero),
                                         e.cold,
                                         e.key,
                                         e.starter,
                                         e.fuel};
    e.area = area;
    const engine::Coefficients<T> model{shape.orifice, e.manifold, e.cylinders, e.rotation};
    LaneRing<T> fuel(shape.engines, 0), spark(shape.engines, ring_places);
    for (int k = 0; k < shape.engine_steps; ++k)
        engine::step(model, e.turn, e.air, e.state, fuel, spark, orders, e.span);
}

}  // namespace twintrack::lanes
