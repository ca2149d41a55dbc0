// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"
#include "kernel.hpp"
#include "twintrack/control/learned_range.hpp"

/// Which lanes need the bench's own monitor and controller at this tick.
namespace twintrack::lanes {

/// The learned curve at `position`, as LearnedTrack::expected.
template <class T>
[[nodiscard]] T expected(const double* curve, T position) noexcept {
    constexpr double last = static_cast<double>(control::curve_knots - 1);
    const T x = position * T(last);
    const T left = clamp(sensing::whole_below(x), T(0.0), T(last - 1.0));
    const T low = gather(curve, left), high = gather(curve + T::lanes, left);
    return low + (x - left) * (high - low);
}

template <class T>
[[nodiscard]] auto outside(const TrackFields<T>& t) noexcept {
    return (t.reading < t.least) | (t.reading > t.most) | (abs(t.reading - t.before) > t.jump);
}

/// Lanes of which a track is outside its window, jumps, or is too far from another.
template <class T>
[[nodiscard, gnu::noinline]] auto outside_learned_bounds(const AssemblyFields<T>& a, int tracks,
                                                         const double* curves) noexcept {
    const TrackFields<T>& first = a.tracks[0];
    const T position = (first.reading - first.start) / first.span;
    auto found = outside(first);
    T leads[sensing::max_tracks];
    for (int k = 1; k < tracks; ++k) {
        const TrackFields<T>& t = a.tracks[k];
        const T away = t.reading - expected(curves + k * int(control::curve_knots) * T::lanes, position);
        const T share = abs(away) / abs(t.span);
        found = found | outside(t) | (share > t.apart) | (share <= t.together);
        leads[k] = away / t.span;
    }
    if (tracks > 2) found = found | (abs(leads[1] - leads[2]) > a.others);
    return found;
}

/// Lanes of which motor, springs, supply or reference are outside the monitor's limits.
template <class T>
[[nodiscard]] auto outside_drive_limits(const LaneFields<T>& l, const Shape& shape, T pace) noexcept {
    const T zero(0.0);
    const ControlFields<T>& c = l.control;
    const T duty = abs(l.duty), current = abs(shape.wired ? l.wire.current : l.state.x.current);
    const T least = shape.wired ? l.wire.least_reference : l.schedule.reference;
    const T most = shape.wired ? l.wire.most_reference : l.schedule.reference;
    const T along = select(l.duty > zero, pace, -pace);
    return (duty > c.duty_limit) | ((duty * l.supply > c.blocked_voltage) & (current > c.blocked_current)) |
           ((-l.duty * l.supply > c.held_voltage) & (l.opening_read - l.set_point > c.held_error)) |
           ((duty > c.against_duty) & (along < -c.against_speed)) |
           ((duty * l.supply > c.open_voltage) & (current < c.open_current)) | (current > c.most_current) |
           (l.supply < c.supply_low) | (l.supply > c.supply_high) | (least < c.reference_low) |
           (most > c.reference_high);
}

/// Lanes of which a reading fails a coarse test: no division, no use of the learned curves. Whatever is
/// suspicious is found here too.
template <class T>
[[nodiscard]] auto outside_linear_bounds(const AssemblyFields<T>& a, int tracks) noexcept {
    const TrackFields<T>& first = a.tracks[0];
    const T along = first.reading - first.start;
    auto found = outside(first);
    for (int k = 1; k < tracks; ++k) {
        const TrackFields<T>& t = a.tracks[k];
        found = found | outside(t) | (abs(t.reading - t.start - t.lead * along) > t.room);
    }
    return found;
}

template <class T>
[[nodiscard]] auto outside(const T& x, const T& least, const T& limit) noexcept {
    return (x < least) | (x > limit);
}

/// Lanes of which the blade has left the windows in which the monitor's view of it does not change.
template <class T>
[[nodiscard]] auto outside_blade_windows(const LaneFields<T>& l, const Shape& shape) noexcept {
    const ControlFields<T>& c = l.control;
    const auto driven = l.mode < T(0.5), free = (l.mode > T(0.5)) & (l.tick > T(0.0));
    const T off = abs(l.set_point - l.opening_read);
    auto found = (driven & (off > c.deviation_limit)) | (free & (l.opening_read > c.default_limit));
    if (!shape.ordered) return found;
    const T none(-std::numeric_limits<double>::infinity());
    const T open = select(driven, none, l.opening_read), missed = select(driven, none, abs(l.opening_read - l.demand));
    return found | (select(driven, off, none) < c.deviation_least) | (open < c.default_least) |
           (free & (missed > c.closing_limit)) | (missed < c.closing_least);
}

/// `pace`: what the monitor's filter makes of the blade's speed at this tick.
template <class T>
[[nodiscard]] auto needs_host(const LaneFields<T>& l, const Shape& shape, T pace) noexcept {
    const ControlFields<T>& c = l.control;
    auto flagged = outside_blade_windows(l, shape) | outside_drive_limits(l, shape, pace) | (c.scalar > T(0.0)) |
                   (l.engine.needs_host > T(0.0));
    if (any(outside_linear_bounds(l.pedal, shape.pedal_tracks)))
        flagged = flagged | outside_learned_bounds(l.pedal, shape.pedal_tracks, shape.curves);
    constexpr int knots = static_cast<int>(control::curve_knots * sensing::max_tracks);
    if (any(outside_linear_bounds(l.throttle, shape.throttle_tracks)))
        flagged = flagged | outside_learned_bounds(l.throttle, shape.throttle_tracks, shape.curves + knots * T::lanes);
    return flagged;
}

}  // namespace twintrack::lanes
