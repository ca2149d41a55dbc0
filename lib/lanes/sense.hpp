// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"
#include "kernel.hpp"
#include "noise.hpp"

/// From stroke and blade to the tracks, and, with ideal wiring, to the converter.
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

/// The input filter after a tick with `volts` at its input.
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

/// The values of the grains at `grain` and the next one.
template <class T>
[[gnu::noinline]] void fetch_grains(TrackFields<T>& t, T seed, T grain, std::uint64_t channel) noexcept {
    const T no_case(0.0);  // a path is the part's own: the same in each case
    T left[1], right[1];
    normals(left, seed, no_case, grain, channel);
    normals(right, seed, no_case, grain + T(1.0), channel);
    t.grain = grain, t.left = left[0], t.right = right[0];
}

/// What the roughness of the path adds at `x` [share of supply].
template <class T>
[[nodiscard]] T roughness(TrackFields<T>& t, const LaneFields<T>& l, T x, std::uint64_t channel) noexcept {
    const T zero(0.0);
    const auto rough = t.roughness > zero;
    if (!any(rough)) return zero;
    const T along = x * t.grains, grain = sensing::whole_below(along);
    if (any(rough & ((grain < t.grain) | (grain > t.grain))))
        fetch_grains(t, l.schedule.key_seed, grain, channel + sensing::channels::grains_offset);
    return t.roughness * sensing::between_grains(t.left, t.right, along - grain);
}

/// `noise` [rms] of the sample, of the noise channel `channel`.
template <class T>
void read(TrackFields<T>& t, const LaneFields<T>& l, const Shape& shape, T position, T noise,
          std::uint64_t channel) noexcept {
    const T zero(0.0), one(1.0);
    const ScheduleFields<T>& s = l.schedule;
    const T played = clamp(t.played, position - t.hysteresis, position + t.hysteresis);
    const T x = clamp(played, zero, one);
    const T ratio = sensing::on_piece(piece_at(t.pieces, shape.pieces, x), t.bow, x) + roughness(t, l, x, channel);
    const T out = sensing::affected(ratio, t.rest, t.gain, t.offset, t.low, t.high);
    const T last = select(t.frozen > zero, t.last, out);
    const T share = select(t.noise > zero, clamp(last + t.noise * noise, zero, one), last);
    t.played = played, t.last = last, t.share = share;
    if (shape.wired) return;  // the harness does it
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
    for (int k = 0; k < 2; ++k)
        read(a.tracks[k], l, shape, position, noise[k], channel + static_cast<std::uint64_t>(k));
    if (tracks < 3) return;
    if (any(a.tracks[2].noise > T(0.0))) normals(third, s.key_seed, s.key_case, l.tick, channel + 2);
    read(a.tracks[2], l, shape, position, third[0], channel + 2);
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
    read_all(l.pedal, l, shape, shape.pedal_tracks, l.travel, sensing::channels::pedal_noise);
    read_all(l.throttle, l, shape, shape.throttle_tracks, l.opening, sensing::channels::throttle_noise);
    l.supply = s.battery - s.supply_resistance * l.duty * l.state.x.current;
}

}  // namespace twintrack::lanes
