// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "host_conditions.hpp"

/// Foot and blade by the tracks in use, as control::Controller sees them under a reaction's orders. Learned
/// curves that are asked here rise or fall all the way.
namespace twintrack::lanes {

/// One track's learned curve in each lane, by its readings times the sign of its span.
template <class T>
struct LaneCurve {
    const double* knots;
    T sign, start, span;

    [[nodiscard]] T at(const T& number) const noexcept { return sign * gather(knots, number); }
    /// Number of the last knot but the end that is `below` the value; 0 where none is.
    template <class Below>
    [[nodiscard]] T last(const Below& below) const noexcept {
        T number(0.0);
        for (int step = (static_cast<int>(control::curve_knots) - 1) / 2; step > 0; step /= 2) {
            const T next = number + T(static_cast<double>(step));
            number = select(below(at(next)), next, number);
        }
        return number;
    }
};

inline constexpr double last_knot = static_cast<double>(control::curve_knots - 1);

template <class T>
[[nodiscard]] LaneCurve<T> curve_of(const TrackFields<T>& t, const double* knots) noexcept {
    return {knots, select(t.span < T(0.0), T(-1.0), T(1.0)), t.start, t.span};
}

/// As LearnedTrack::highest_position.
template <class T>
[[nodiscard]] T highest_position(const LaneCurve<T>& c, const T& reading, const T& slack) noexcept {
    const T zero(0.0), one(1.0);
    const T most = c.sign * reading + slack * abs(c.span);
    const T number = c.last([&](const T& knot) { return knot <= most; });
    const T here = c.at(number), next = c.at(number + one);
    const T position = (number + (most - here) / (next - here)) / T(last_knot);
    const T held = select(here <= most, position, zero);
    return select(c.at(T(last_knot)) <= most, T(std::numeric_limits<double>::infinity()), held);
}

/// As LearnedTrack::lowest_position.
template <class T>
[[nodiscard]] T lowest_position(const LaneCurve<T>& c, const T& reading) noexcept {
    const T zero(0.0), one(1.0), linear = (reading - c.start) / c.span;
    const T slack = T(0.005) * abs(c.span), top = c.at(T(last_knot)), asked = c.sign * reading;
    const auto flat = top - c.at(T(last_knot - 1.0)) < slack;
    const T wanted = select(flat, min(asked, top - slack), asked);
    const T number = c.last([&](const T& knot) { return knot < wanted; });
    const T here = c.at(number), next = c.at(number + one);
    const T share = select(next > here, max((wanted - here) / select(next > here, next - here, one), zero), zero);
    const auto beyond = (wanted <= c.sign * c.start) | (wanted > top);
    return select(beyond, linear, (number + share) / T(last_knot));
}

/// Pedal and blade, where they are not by the first tracks.
template <class T>
[[gnu::noinline]] void follow_orders(const LaneFields<T>& l, const Shape& shape, T& pedal, T& opening) noexcept {
    constexpr int knots = static_cast<int>(control::curve_knots) * T::lanes;
    const OrderFields<T>& o = l.control.orders;
    const T zero(0.0), one(1.0), half(0.5), first = pedal;
    for (int k = 1; k < shape.pedal_tracks; ++k) {
        const TrackFields<T>& t = l.pedal.tracks[k];
        const double* curve = shape.curves + k * knots;
        const T number(static_cast<double>(k)), mismatch = abs(t.reading - expected(curve, first)) / abs(t.span);
        const auto by_first = o.foot_by < half;
        const auto asked = (t.trusted > zero) & (o.foot_by < number) & ((!by_first) | (mismatch > o.slack));
        const LaneCurve<T> c = curve_of(t, curve);
        pedal = select(asked, min(pedal, highest_position(c, t.reading, o.slack)), pedal);
        pedal = select(abs(o.foot_by - number) < half, lowest_position(c, t.reading), pedal);
    }
    for (int k = 1; k < shape.throttle_tracks; ++k) {
        const TrackFields<T>& t = l.throttle.tracks[k];
        const LaneCurve<T> c = curve_of(t, shape.curves + (static_cast<int>(sensing::max_tracks) + k) * knots);
        const auto leads = abs(o.blade_by - T(static_cast<double>(k))) < half;
        opening = select(leads, min(highest_position(c, t.reading, zero), one), opening);
    }
}

}  // namespace twintrack::lanes
