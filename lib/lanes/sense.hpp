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

/// The input filter after it has seen `volts`.
template <class T>
[[nodiscard]] T filtered(const TrackFields<T>& t, const LaneFields<T>& l, T volts) noexcept {
    return select(l.tick > T(0.0), sensing::settled(t.filtered, volts, l.schedule.decay), volts);
}

/// `reading` is the one of this tick; the first has none before it.
template <class T>
void take(TrackFields<T>& t, const LaneFields<T>& l, T reading) noexcept {
    t.before = select(l.tick > T(0.0), t.reading, reading);
    t.reading = reading;
}

/// `noise` [rms] of the sample.
template <class T>
void read(TrackFields<T>& t, const LaneFields<T>& l, const Shape& shape, T position, T noise) noexcept {
    const T zero(0.0), one(1.0);
    const ScheduleFields<T>& s = l.schedule;
    const T played = clamp(t.played, position - t.hysteresis, position + t.hysteresis);
    const T x = clamp(played, zero, one);
    const T ratio = sensing::on_piece(piece_at(t.pieces, shape.pieces, x), t.bow, x);
    const T out = sensing::affected(ratio, t.rest, t.gain, t.offset, t.low, t.high);
    const T last = select(t.frozen > zero, t.last, out);
    const T share = select(t.noise > zero, clamp(last + t.noise * noise, zero, one), last);
    t.played = played, t.last = last, t.share = share;
    if (shape.wired) return;  // the harness comes between
    t.volts = s.reference * share;
    t.filtered = filtered(t, l, t.volts);
    take(t, l, sensing::code_share(t.filtered, select(s.ratiometric > zero, s.reference, s.nominal), s.full_scale));
}

/// The tracks of an assembly; the noise channels of its tracks follow `channel`.
template <class T>
[[gnu::always_inline]] inline void read_all(AssemblyFields<T>& a, const LaneFields<T>& l, const Shape& shape,
                                            int tracks, T position, std::uint64_t channel) noexcept {
    const ScheduleFields<T>& s = l.schedule;
    T noise[2]{}, third[1]{};
    if (any((a.tracks[0].noise + a.tracks[1].noise) > T(0.0))) normals(noise, s.key_seed, s.key_case, l.tick, channel);
    for (int k = 0; k < 2; ++k) read(a.tracks[k], l, shape, position, noise[k]);
    if (tracks < 3) return;
    if (any(a.tracks[2].noise > T(0.0))) normals(third, s.key_seed, s.key_case, l.tick, channel + 2);
    read(a.tracks[2], l, shape, position, third[0]);
}

template <class T>
void sense(LaneFields<T>& l, const Shape& shape) noexcept {
    const T zero(0.0);
    const ScheduleFields<T>& s = l.schedule;
    l.travel = s.stroke_travel;
    if (any((s.stroke_change < zero) | (s.stroke_change > zero))) {
        const T now = l.time / T(1e6);
        l.travel = s.stroke_travel + s.stroke_change * (now - s.stroke_time) / s.stroke_span;
    }
    l.opening = (l.state.x.angle - s.closed) / s.travel;
    constexpr std::uint64_t pedal_noise = 0, throttle_noise = 16;
    read_all(l.pedal, l, shape, shape.pedal_tracks, l.travel, pedal_noise);
    read_all(l.throttle, l, shape, shape.throttle_tracks, l.opening, throttle_noise);
    l.supply = s.battery - s.supply_resistance * l.duty * l.state.x.current;
}

}  // namespace twintrack::lanes
