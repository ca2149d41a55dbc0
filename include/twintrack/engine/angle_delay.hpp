// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstddef>

#include "twintrack/core/number.hpp"

namespace twintrack::engine {

/// A delay by crank angle: what is written at crank angle φ is read at φ + Δ. So the delay in time is Δ/ω at any
/// speed, nothing is lost while the speed changes, and an engine at rest gives nothing.
///
/// Linear between two writes; writes closer together than Δ/256 are thinned out. Angles must not fall, neither those
/// written nor those read; before the first write it gives the initial value.
///
/// The law, on any number type. The points are in a ring of `delay_slots`, which `Points` indexes by whole numbers:
/// `angle(k)`, `value(k)`, `put(k, angle, value)`.
template <class T>
struct DelayState {
    T newest;        ///< number of the last write; replaced by the next one if too close to its predecessor
    T cursor;        ///< number of the last point at or before the angle last read
    T last, before;  ///< angles of the last write and of the point before it [rad]
};

inline constexpr std::size_t delay_slots = 512;  ///< a power of two; twice what Δ can hold

/// Gap [rad] that two writes of a delay by `angle` [rad] must have to be two points.
[[nodiscard]] constexpr double least_gap(double angle) noexcept { return 2.0 * angle / delay_slots; }

/// The state, and the first points, of a delay by `angle` which gives `initial` first.
template <class Points>
[[nodiscard]] DelayState<double> begun(Points& points, double angle, double initial) noexcept {
    points.put(0.0, -2.0 * angle, initial);
    points.put(1.0, 0.0, initial);
    return {1.0, 0.0, 0.0, -2.0 * angle};
}

/// `value` holds at crank angle `angle` [rad].
template <class T, class Points>
void write(DelayState<T>& s, Points& points, T least_gap, T angle, T value) noexcept {
    const T zero(0.0), one(1.0);
    const T gap = s.last - s.before;
    const auto apart = (gap >= least_gap) | ((gap <= zero) & (angle > s.last));  // no gap: a jump, kept as one
    s.newest = s.newest + select(apart, one, zero);
    s.before = select(apart, s.last, s.before);
    s.last = angle;
    points.put(s.newest, angle, value);
    s.cursor = max(s.cursor, s.newest - T(static_cast<double>(delay_slots - 1)));
}

/// The value Δ = `delay` before `angle`, which may lie up to Δ ahead of the last write.
template <class T, class Points>
[[nodiscard]] T read(DelayState<T>& s, const Points& points, T delay, T angle) noexcept {
    const T zero(0.0), one(1.0);
    const T wanted = angle - delay;
    T next = points.angle(s.cursor + one);
    for (;;) {
        const auto passed = (s.cursor + one < s.newest) & (next <= wanted);
        if (!any(passed)) break;
        s.cursor = s.cursor + select(passed, one, zero);
        next = points.angle(s.cursor + one);
    }
    const T from = points.angle(s.cursor), low = points.value(s.cursor), high = points.value(s.cursor + one);
    const T gap = next - from;
    const T share = select(gap > zero, (wanted - from) / gap, one);
    return low + (high - low) * clamp(share, zero, one);
}

/// The points of one delay.
class DelayRing {
public:
    [[nodiscard]] double angle(double k) const noexcept { return points_[place(k)].angle; }
    [[nodiscard]] double value(double k) const noexcept { return points_[place(k)].value; }
    void put(double k, double angle, double value) noexcept { points_[place(k)] = {angle, value}; }

private:
    struct Point {
        double angle, value;
    };
    static std::size_t place(double k) noexcept { return static_cast<std::size_t>(k) & (delay_slots - 1); }
    std::array<Point, delay_slots> points_{};
};

/// One delay of plain numbers.
class AngleDelay {
public:
    /// `angle` Δ [rad] > 0.
    AngleDelay(double angle, double initial) noexcept
        : angle_(angle), least_gap_(least_gap(angle)), state_(begun(points_, angle, initial)) {}

    /// `value` holds at crank angle `angle` [rad].
    void write(double angle, double value) noexcept { engine::write(state_, points_, least_gap_, angle, value); }

    /// The value Δ before `angle`, which may lie up to Δ ahead of the last write.
    [[nodiscard]] double read(double angle) noexcept { return engine::read(state_, points_, angle_, angle); }

private:
    double angle_, least_gap_;
    DelayRing points_;
    DelayState<double> state_;
};

}  // namespace twintrack::engine
