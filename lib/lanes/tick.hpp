// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "host_conditions.hpp"
#include "orders.hpp"
#include "sense.hpp"
#include "supervision_bounds.hpp"

/// One controller tick of a block, from the laws that the exact solver's bench runs on.
namespace twintrack::lanes {

template <class M, class T>
[[nodiscard]] control::LoopState<T> chosen(const M& m, const control::LoopState<T>& a,
                                           const control::LoopState<T>& b) noexcept {
    return {select(m, a.entry_opening, b.entry_opening),
            select(m, a.entry_share, b.entry_share),
            select(m, a.first, b.first),
            select(m, a.second, b.second),
            {select(m, a.pid.integral, b.pid.integral), select(m, a.pid.derivative, b.pid.derivative),
             select(m, a.pid.last_error, b.pid.last_error)},
            select(m, a.anchor, b.anchor),
            {select(m, a.observer.angle, b.observer.angle), select(m, a.observer.speed, b.observer.speed),
             select(m, a.observer.load, b.observer.load)},
            {select(m, a.push.blade, b.push.blade), select(m, a.push.time, b.push.time),
             select(m, a.push.volts, b.push.volts)}};
}

/// The demanded opening within the limits of the orders.
template <class T>
[[nodiscard]] T permitted(const LaneFields<T>& l, const T& asked) noexcept {
    const OrderFields<T>& orders = l.control.orders;
    const T least = max(l.engine.idle_opening, orders.least);
    const T held = min(asked, max(orders.demand_limit, least));
    return select(orders.slope > T(0.0), min(held, max(l.demand, least) + orders.slope), held);
}

/// Steps the controller of the lanes that need no host; returns the others in the mask, unchanged.
template <class T>
[[nodiscard]] LaneBits act(LaneFields<T>& l, const Shape& shape) noexcept {
    const T zero(0.0), half(0.5), one(1.0), two(2.0);
    const ControlFields<T>& c = l.control;
    const T pace = c.pace.step(l.pace, l.opening_read - l.opening_before);
    auto flagged = needs_host(l, shape, pace);
    if (shape.anchored)
        flagged = flagged | stands_still(l.pedal, shape.pedal_tracks) | stands_still(l.throttle, shape.throttle_tracks);
    if (shape.history) flagged = flagged | outside_supervision_bounds(l, shape);
    const auto position = [](const TrackFields<T>& t) { return (t.reading - t.start) / t.span; };
    const OrderFields<T>& orders = c.orders;
    T pedal = position(l.pedal.tracks[0]), opening = position(l.throttle.tracks[0]);
    if (shape.led) follow_orders(l, shape, pedal, opening);
    if (shape.ordered) {
        pedal = select(orders.footless > zero, l.pedal_read, pedal);
        opening = select(orders.sightless > zero, l.opening_read, opening);
    }
    T asked = min(mapped(c, shape.map_pieces, pedal), one);
    if (shape.ordered) asked = permitted(l, asked);
    const T demand = max(asked, l.engine.idle_opening);

    const auto off = orders.motor_off > zero;
    const auto waiting = (l.time < c.watch_time) | (l.engine.key < half) | off;
    control::LoopState<T> x = l.loop;
    if (any(!(l.running > zero))) {
        const control::LoopState<T> begun = control::entered(c.loop, opening);
        x = chosen(l.running > zero, x, begun);
    }
    const T feed = control::follow(c.loop, x, select(l.time < c.run_time, c.twitch, demand));
    const T supply = control::believed_supply(c.loop, l.supply);
    const T duty = control::answer(c.loop, x, opening, feed, c.loop.duty_limit * supply) / supply;
    const auto idle = waiting | flagged;
    l.loop = any(idle) ? chosen(idle, l.loop, x) : x;
    const auto put = [&flagged](T& field, T value) { field = select(flagged, field, value); };
    put(l.running, select(waiting, zero, one));
    put(l.mode, select(off, orders.off_mode, select(waiting, two, zero)));
    put(l.duty, select(waiting, zero, duty));
    put(l.pedal_read, pedal);
    put(l.demand, demand);
    put(l.set_point, select(waiting, opening, x.second));
    put(l.opening_before, l.opening_read);
    put(l.pace, pace);
    put(l.opening_read, opening);
    return bits(flagged);
}

/// The motor's source through a harness.
template <class T>
void wired(const WireFields<T>& w, MotorSource<T>& source) noexcept {
    const auto there = w.there > T(0.0);
    source.voltage = select(there, w.voltage, source.voltage);
    source.resistance = select(there, w.resistance, source.resistance);
    source.limit = select(there, w.limit, source.limit);
    source.open = select(there, w.open, source.open);
}

/// Keeps the books of a tick and moves the body to the next one.
template <class T>
[[nodiscard]] LaneBits advance(LaneFields<T>& l, const Shape& shape) noexcept {
    const T zero(0.0), half(0.5), one(1.0);
    const ScheduleFields<T>& s = l.schedule;
    const auto drives = l.mode < half;
    const auto open = l.mode > T(1.5);
    const T error = select(drives, abs(l.set_point - l.opening), zero);
    l.error_area = l.error_area + error * (s.period / T(1e6));
    l.largest_error = max(l.largest_error, error);
    l.largest_opening = max(l.largest_opening, l.opening);

    const T duty = clamp(l.duty, -one, one);
    Tick<T> tick;
    MotorSource<T>& source = tick.source;
    source.voltage = select(drives, duty * s.battery, select(open, s.battery + s.diodes, zero));
    source.resistance = select(open, zero, select(drives, s.switches + duty * duty * s.supply_resistance, s.switches));
    source.limit = s.limit;
    source.open = select(open, one, zero);
    source.external_torque = s.external_torque + l.engine.torque;
    if (shape.wired) wired(l.wire, source);
    prepare(l.body, tick, s.substep);
    BodyState<T> state = l.state;  // not in the block's memory from step to step
    for (int k = 0; k < shape.substeps; ++k) step(l.body, tick, state);
    l.state = state;
    l.time = l.time + s.period;
    l.tick = l.tick + one;
    return bits(!(abs(l.state.x.angle) + abs(l.state.x.speed) + abs(l.state.x.current) < T(1e9)));
}

}  // namespace twintrack::lanes
