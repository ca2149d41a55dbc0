// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learn_checks.hpp"

#include <cstdio>

#include "twintrack/core/number.hpp"

namespace twintrack::control {

namespace {

std::string track_name(const std::string& assembly, std::size_t k) {
    return assembly + " track " + std::to_string(k + 1);
}

Problem gap_problem(const LearnLimits& l, const std::string& assembly, double gap) {
    if (gap <= l.gap_most) return {};
    return {Refusal::travel_skipped,
            assembly + " track 1 jumped over " + percent(gap) + " of its travel, at most " + percent(l.gap_most) +
                " can be bridged: look for a dead spot or a movement that was too fast.",
            gap, l.gap_most};
}

/// How far a curve runs backwards [share of span].
double turn_back(const LearnedTrack& track) noexcept {
    double furthest = 0.0, back = 0.0;
    for (const double reading : track.curve) {
        const double travelled = (reading - track.start()) / track.span();
        back = max(back, furthest - travelled);
        furthest = max(furthest, travelled);
    }
    return back;
}

Problem shape_problem(const LearnLimits& l, const std::string& assembly, const std::vector<LearnedTrack>& curves) {
    for (std::size_t k = 1; k < curves.size(); ++k) {
        const double back = turn_back(curves[k]);
        if (back > l.turn_back_most)
            return {Refusal::runs_backwards,
                    track_name(assembly, k) + " ran backwards by " + percent(back) +
                        " of its span while track 1 went on, at most " + percent(l.turn_back_most) +
                        " is allowed: the track is worn, or the wire belongs to another sensor.",
                    back, l.turn_back_most};
        const double bent = bend(curves[k]);
        if (bent > l.bend_most)
            return {Refusal::bent,
                    track_name(assembly, k) +
                        " leaves a straight line against track 1 (or one with a single knee) by " + percent(bent) +
                        " of its span, at most " + percent(l.bend_most) +
                        " is allowed: look for a worn track, a bad contact, or a wire that belongs to another sensor.",
                    bent, l.bend_most};
    }
    return {};
}

Problem alike_problem(const LearnLimits& l, const std::string& assembly, const std::vector<LearnedTrack>& curves) {
    for (std::size_t a = 0; a < curves.size(); ++a)
        for (std::size_t b = a + 1; b < curves.size(); ++b) {
            double apart = 0.0;
            for (std::size_t i = 0; i < curve_knots; ++i)
                apart = max(apart, abs(curves[a].curve[i] - curves[b].curve[i]));
            if (apart < l.alike_least)
                return {Refusal::tracks_alike,
                        track_name(assembly, a) + " and track " + std::to_string(b + 1) +
                            " read the same everywhere (within " + percent(apart) +
                            " of full scale): their signal wires touch, or one wire feeds both pins.",
                        apart, l.alike_least};
        }
    return {};
}

Problem noise_problem(const LearnLimits& l, const std::string& assembly, double noise) {
    if (noise <= l.noise_most) return {};
    return {Refusal::noisy,
            assembly + ": a noisy track scatters by " + number(100.0 * noise) +
                " % of full scale (rms) at rest, at most " + number(100.0 * l.noise_most) +
                " % is allowed: look for a bad contact, a missing return or a wire beside the motor's.",
            noise, l.noise_most};
}

Problem common_problem(const LearnLimits& l, const std::string& assembly, const std::vector<LearnedTrack>& curves,
                       double gap, double noise) {
    if (Problem p = noise_problem(l, assembly, noise)) return p;
    if (Problem p = gap_problem(l, assembly, gap)) return p;
    if (Problem p = shape_problem(l, assembly, curves)) return p;
    return alike_problem(l, assembly, curves);
}

Problem mismatch_problem(const LearnLimits& l, const BladeFindings& f) {
    for (std::size_t k = 1; k < f.curves.size(); ++k) {
        const double apart = mismatch(f.curves, k, f.unpowered);
        if (apart > l.default_mismatch_most)
            return {Refusal::default_disagrees,
                    track_name("Throttle", k) + " disagrees with track 1 by " + percent(apart) +
                        " of travel when the blade is released, at most " + percent(l.default_mismatch_most) +
                        " is allowed: a track drifts or has a bad contact.",
                    apart, l.default_mismatch_most};
    }
    return {};
}

Problem default_problem(const LearnLimits& l, const BladeFindings& f) {
    const double opening = default_opening(f);
    if (opening > l.default_opening_most || opening < -min(l.default_mismatch_most, 0.1))
        return {
            Refusal::default_outside,
            "Released, the blade stayed at " + percent(opening) + " of its travel, at most " +
                percent(l.default_opening_most) +
                " is believed. Key off and motor unplugged first, then look for a broken or weak return spring, a " +
                "blade that binds, or motor leads exchanged.",
            opening, l.default_opening_most};
    if (opening > LearnLimits::at_stop && opening < l.default_opening_least)
        return {Refusal::default_outside,
                "Released from the open stop, the blade stayed at " + percent(opening) +
                    " of its travel: off its closed stop, but below " + percent(l.default_opening_least) +
                    ", where an opener spring would lift it. Key off and motor unplugged first, then look for a blade "
                    "that sticks or a " +
                    "weak opener spring.",
                opening, l.default_opening_least};
    if (Problem p = mismatch_problem(l, f)) return p;
    if (const double apart = default_repeat(f); apart > l.default_repeat_most)
        return {Refusal::default_not_repeated,
                "The default position is not repeated: released from below and from above, the blade stands " +
                    percent(apart) + " of its travel apart, at most " + percent(l.default_repeat_most) +
                    " is allowed. Key off and motor unplugged first, then look for a blade that sticks or a weak "
                    "opener spring.",
                apart, l.default_repeat_most};
    if (f.return_time > l.return_time_most)
        return {
            Refusal::slow_return,
            "The springs took " + number(f.return_time) + " s to bring the blade back from the open stop, at most " +
                number(l.return_time_most) +
                " s is allowed. Key off and motor unplugged first, then look for a weak spring or a blade that sticks.",
            f.return_time, l.return_time_most};
    return {};
}

}  // namespace

std::string number(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.4g", value);
    return text;
}

std::string percent(double share) {
    char text[32];
    std::snprintf(text, sizeof text, "%.1f %%", 100.0 * share);
    return text;
}

double largest_difference(const Readings& a, const Readings& b, std::size_t tracks) noexcept {
    double out = 0.0;
    for (std::size_t k = 0; k < tracks; ++k) out = max(out, abs(a[k] - b[k]));
    return out;
}

double default_opening(const BladeFindings& f) { return f.curves[0].linear_position(f.unpowered[0]); }

double default_repeat(const BladeFindings& f) { return abs(f.unpowered[0] - f.lifted[0]) / abs(f.curves[0].span()); }

double press_difference(const PedalFindings& f) {
    const double first = f.first_press[0] - f.rest[0];
    const double second = f.second_press[0] - f.rest[0];
    return abs(first - second) / max(abs(first), abs(second));
}

double bend(const LearnedTrack& track) noexcept {
    constexpr std::size_t last = curve_knots - 1;
    const auto& c = track.curve;
    const auto away = [&](std::size_t from, std::size_t to) {  // from the chord between two knots
        double most = 0.0;
        for (std::size_t i = from + 1; i < to; ++i) {
            const double share = static_cast<double>(i - from) / static_cast<double>(to - from);
            most = max(most, abs(c[i] - (c[from] + share * (c[to] - c[from]))));
        }
        return most;
    };
    double best = away(0, last);
    for (std::size_t knee = 1; knee < last; ++knee) best = min(best, max(away(0, knee), away(knee, last)));
    return best / abs(track.span());
}

double largest_bend(const std::vector<LearnedTrack>& tracks) noexcept {
    double most = 0.0;
    for (const LearnedTrack& track : tracks) most = max(most, bend(track));
    return most;
}

Problem supply_problem(const LearnParameters& p, double supply) {
    if (supply >= p.supply_least && supply <= p.supply_most) return {};
    return {Refusal::supply_out_of_window,
            "The supply is " + number(supply) + " V, the learn needs " + number(p.supply_least) + " to " +
                number(p.supply_most) + " V: charge or check the battery first.",
            supply, supply < p.supply_least ? p.supply_least : p.supply_most};
}

Problem band_problem(const LearnParameters& p, const char* assembly, const Readings& now, std::size_t tracks) {
    for (std::size_t k = 0; k < tracks; ++k)
        if (!(now[k] >= p.band_low && now[k] <= p.band_high))
            return {Refusal::reading_out_of_band,
                    track_name(assembly, k) + " reads " + percent(now[k]) +
                        " of full scale, outside the electrical band " + percent(p.band_low) + " to " +
                        percent(p.band_high) + ": look for an open or shorted signal wire or a missing reference.",
                    now[k], now[k] > p.band_high ? p.band_high : p.band_low};
    return {};
}

Problem margin_problem(const LearnParameters& p, const char* assembly, const Readings& end, std::size_t tracks) {
    const double low = p.band_low + p.limits.band_margin, high = p.band_high - p.limits.band_margin;
    for (std::size_t k = 0; k < tracks; ++k)
        if (!(end[k] >= low && end[k] <= high))
            return {Refusal::near_band,
                    track_name(assembly, k) + " ends at " + percent(end[k]) + " of full scale, nearer than " +
                        percent(p.limits.band_margin) + " to the electrical band " + percent(p.band_low) + " to " +
                        percent(p.band_high) + ": a little drift will trip the range check; look for the wrong part " +
                        "or a wrong reference.",
                    end[k], end[k] > high ? high : low};
    return {};
}

Problem span_problem(const char* assembly, const Readings& start, const Readings& end, std::size_t tracks,
                     double first_least, double other_least) {
    for (std::size_t k = 0; k < tracks; ++k) {
        const double least = k == 0 ? first_least : other_least;
        const double span = abs(end[k] - start[k]);
        if (span < least)
            return {Refusal::span_too_small,
                    track_name(assembly, k) + " changed by only " + percent(span) +
                        " of full scale from end to end, at least " + percent(least) +
                        " is needed. Key off and motor unplugged first, then look for a dead track, a wrong wire or "
                        "something that " +
                        "blocks the travel.",
                    span, least};
    }
    return {};
}

Problem movement_problem(const BladeFindings& f, std::size_t tracks, double duty) {
    constexpr double moved_least = 0.02;  // share of full scale
    const double moved = largest_difference(f.closed, f.open, tracks);
    if (moved >= moved_least) return {};
    return {Refusal::no_movement,
            "The blade did not move: no throttle track changed by more than " + percent(moved) +
                " of full scale while the motor pushed with " + percent(duty) +
                " duty. Key off and motor unplugged first, then look for a jammed blade or a motor lead that is open.",
            moved, moved_least};
}

Problem blade_problem(const LearnParameters& p, const BladeFindings& f) {
    if (Problem found = common_problem(p.limits, "Throttle", f.curves, f.gap, f.noise)) return found;
    return default_problem(p.limits, f);
}

Problem pedal_problem(const LearnParameters& p, const PedalFindings& f) {
    const double apart = press_difference(f);
    if (p.presses > 1 && apart > p.limits.press_agreement)
        return {Refusal::presses_differ,
                "The two pedal presses differ: track 1 went to " + percent(f.first_press[0]) +
                    " of full scale the first time and to " + percent(f.second_press[0]) + " the second, at most " +
                    percent(p.limits.press_agreement) + " of the span is allowed: press fully to the stop both times.",
                apart, p.limits.press_agreement};
    if (p.limits.pedal_rises && f.curves[0].span() < 0.0)
        return {Refusal::pedal_falls,
                "Pedal track 1 falls from " + percent(f.curves[0].start()) + " to " + percent(f.curves[0].end()) +
                    " of full scale when pressed, but it must rise: the pedal was held down at the start, or its " +
                    "signal wires are exchanged.",
                f.curves[0].span(), 0.0};
    return common_problem(p.limits, "Pedal", f.curves, f.gap, f.noise);
}

}  // namespace twintrack::control
