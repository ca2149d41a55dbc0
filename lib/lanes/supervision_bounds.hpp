// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "functions.hpp"
#include "host_conditions.hpp"
#include "kernel.hpp"
#include "pedal_map.hpp"

/// What keeps a lane asleep whose monitor, function monitor or independent device must count what has been: bounds that
/// are never wider than theirs, and what they will ask of the ticks that were slept through.
namespace twintrack::lanes {

/// Where each track and its partner stood when it last moved, as monitor::StuckCheck; lanes whose partner has gone on
/// alone.
template <class T>
[[nodiscard]] auto stands_still(AssemblyFields<T>& a, int tracks) noexcept {
    auto found = T(0.0) < T(0.0);
    for (int k = 0; k < tracks; ++k) {
        TrackFields<T>& t = a.tracks[k];
        const T partner = a.tracks[k == 0 ? 1 : 0].reading, position = (t.reading - t.start) / t.span;
        const auto moved = abs(position - t.own) > t.still;
        t.own = select(moved, position, t.own);
        t.partner = select(moved, partner, t.partner);
        found = found | (abs(partner - t.partner) > t.partner_moved);
    }
    return found;
}

/// The whole numbers that the converter gave for the tracks of the pedal, in one number of the lane's row.
template <class T>
[[gnu::always_inline]] inline void note_counts(const LaneFields<T>& l, const Shape& shape) noexcept {
    T all(0.0);
    for (int k = shape.pedal_tracks - 1; k >= 0; --k)
        all = all * T(static_cast<double>(count_base)) +
              sensing::whole_below(l.pedal.tracks[k].reading * l.schedule.full_scale + T(0.5));
    const HistoryRows rows{shape.history};
    for (int k = 0; k < T::lanes / T::width; ++k)
        rows.template put<T::width>(k, wrapped<T::width>(l.tick.r[k], history_places), all.r[k]);
}

/// Lowest and highest position of the tracks in use.
template <class T>
struct Reach {
    T low, high;
};

template <class T>
[[nodiscard]] Reach<T> reach(const AssemblyFields<T>& a, int tracks) noexcept {
    Reach<T> r{T(far), T(-far)};
    for (int k = 0; k < tracks; ++k) {
        const TrackFields<T>& t = a.tracks[k];
        const T position = t.scale * t.reading + t.zero;
        const auto asked = (t.scale < T(0.0)) | (t.scale > T(0.0));
        r.low = select(asked, min(r.low, position), r.low), r.high = select(asked, max(r.high, position), r.high);
    }
    return r;
}

/// Lanes in which the function monitor or the device may find something. What the foot has permitted is held for half
/// the function monitor's lag or more, never longer than it.
template <class T>
[[nodiscard, gnu::noinline]] auto outside_supervision_bounds(LaneFields<T>& l, const Shape& shape) noexcept {
    const T zero(0.0), one(1.0);
    SupervisionFields<T>& w = l.supervision;
    if constexpr (T::lanes > 1) note_counts(l, shape);  // the counting number of the peers has no row
    const Reach<T> foot = reach(l.pedal, shape.pedal_tracks), blade = reach(l.throttle, shape.throttle_tracks);
    const T asked = mapped(l.control, shape.map_pieces, clamp(foot.low - T(watch_slack), zero, one));
    const T permitted = max(w.idle, min(asked, w.limited));
    const auto full = w.count >= w.half_lag;
    w.before = select(full, w.best, w.before);
    w.best = select(full, permitted, max(w.best, permitted));
    w.count = select(full, one, w.count + one);
    const T volts = l.throttle.tracks[0].volts, current = abs(shape.wired ? l.wire.current : l.state.x.current);
    return (blade.high > max(w.best, w.before) + w.margin) |
           outside(foot.high - foot.low, w.foot_together, w.foot_apart) | (blade.high - blade.low > w.blade_apart) |
           (current > w.most_current) | (volts < w.volts_low) | (volts > w.volts_high) | (l.supply < w.least_supply);
}

}  // namespace twintrack::lanes
