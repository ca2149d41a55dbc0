// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"
#include "kernel.hpp"
#include "noise.hpp"

/// From stroke and blade to the tracks, and, where no harness comes between, to the converter.
namespace twintrack::lanes {

/// The last piece that begins at or below x.
template <class T, std::size_t N>
[[nodiscard]] sensing::Piece<T> piece_at(const sensing::Piece<T> (&pieces)[N], int count, T x) noexcept {
    sensing::Piece<T> p = pieces[0];
    for (int i = 1; i < count; ++i) {
        const auto before = x < pieces[i].start;
        p = {select(before, p.start, pieces[i].start), select(before, p.value, pieces[i].value),
             select(before, p.slope, pieces[i].slope)};
    }
    return p;
}

/// The input filter sees the voltage of this tick.
template <class T>
void settle(TrackFields<T>& t, const LaneFields<T>& l) noexcept {
    t.filtered = select(l.tick > T(0.0), sensing::settled(t.filtered, t.volts, l.schedule.decay), t.volts);
    t.before = t.reading;
}

template <class T>
void read(TrackFields<T>& t, const LaneFields<T>& l, const Shape& shape, T position, std::uint64_t channel) noexcept {
    const T zero(0.0), one(1.0);
    const ScheduleFields<T>& s = l.schedule;
    t.played = clamp(t.played, position - t.hysteresis, position + t.hysteresis);
    const T x = clamp(t.played, zero, one);
    const T ratio = sensing::on_piece(piece_at(t.pieces, shape.pieces, x), t.bow, x);
    const T out = sensing::affected(ratio, t.rest, t.gain, t.offset, t.low, t.high);
    t.last = select(t.frozen > zero, t.last, out);
    T share = t.last;
    if (any(t.noise > zero)) {
        const T noisy = clamp(share + t.noise * normal(s.key_seed, s.key_case, l.tick, channel), zero, one);
        share = select(t.noise > zero, noisy, share);
    }
    t.share = share;
    if (shape.wired) return;  // the harness comes between
    t.volts = s.reference * share;
    settle(t, l);
    t.reading = sensing::code_share(t.filtered, select(s.ratiometric > zero, s.reference, s.nominal), s.full_scale);
}

template <class T>
void sense(LaneFields<T>& l, const Shape& shape) noexcept {
    const ScheduleFields<T>& s = l.schedule;
    const T now = l.time / T(1e6);
    l.travel = s.stroke_travel + s.stroke_change * (now - s.stroke_time) / s.stroke_span;
    l.opening = (l.state.x.angle - s.closed) / s.travel;
    constexpr std::uint64_t pedal_noise = 0, throttle_noise = 16;
    for (int k = 0; k < shape.pedal_tracks; ++k)
        read(l.pedal.tracks[k], l, shape, l.travel, pedal_noise + static_cast<std::uint64_t>(k));
    for (int k = 0; k < shape.throttle_tracks; ++k)
        read(l.throttle.tracks[k], l, shape, l.opening, throttle_noise + static_cast<std::uint64_t>(k));
    l.supply = s.battery - s.supply_resistance * l.duty * l.state.x.current;
}

}  // namespace twintrack::lanes
