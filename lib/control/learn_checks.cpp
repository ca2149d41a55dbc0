// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learn_checks.hpp"

#include <cstdio>

#include "twintrack/core/number.hpp"

namespace twintrack::control {

namespace {

std::string number(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.4g", value);
    return text;
}

std::string track_name(const std::string& assembly, std::size_t k) {
    return assembly + " track " + std::to_string(k + 1);
}

std::string gap_problem(const std::string& assembly, double gap) {
    if (gap <= gap_most) return {};
    return assembly + " track 1 jumped over " + percent(gap) + " of its travel, at most " + percent(gap_most) +
           " can be bridged: look for a dead spot or a movement that was too fast.";
}

std::string turn_problem(const std::string& assembly, const std::vector<LearnedTrack>& curves) {
    for (std::size_t k = 1; k < curves.size(); ++k) {
        const double span = curves[k].span();
        double furthest = 0.0;
        for (const double reading : curves[k].curve) {
            const double travelled = (reading - curves[k].start()) / span;
            if (furthest - travelled > turn_back_most)
                return track_name(assembly, k) + " ran backwards by " + percent(furthest - travelled) +
                       " of its span while track 1 went on, at most " + percent(turn_back_most) +
                       " is allowed: the track is worn, or the wire belongs to another sensor.";
            furthest = max(furthest, travelled);
        }
    }
    return {};
}

std::string alike_problem(const std::string& assembly, const std::vector<LearnedTrack>& curves) {
    for (std::size_t a = 0; a < curves.size(); ++a)
        for (std::size_t b = a + 1; b < curves.size(); ++b) {
            double apart = 0.0;
            for (std::size_t i = 0; i < curve_knots; ++i)
                apart = max(apart, abs(curves[a].curve[i] - curves[b].curve[i]));
            if (apart < alike_most)
                return track_name(assembly, a) + " and track " + std::to_string(b + 1) +
                       " read the same everywhere (within " + percent(apart) +
                       " of full scale): their signal wires touch, or one wire feeds both pins.";
        }
    return {};
}

std::string common_problem(const std::string& assembly, const std::vector<LearnedTrack>& curves, double gap) {
    if (std::string text = gap_problem(assembly, gap); !text.empty()) return text;
    if (std::string text = turn_problem(assembly, curves); !text.empty()) return text;
    return alike_problem(assembly, curves);
}

std::string default_problem(const BladeFindings& f) {
    const double opening = default_opening(f);
    if (opening > default_opening_most || opening < -default_mismatch_most)
        return "Released, the blade stayed at " + percent(opening) + " of its travel, at most " +
               percent(default_opening_most) + " is believed: look for a broken or weak return spring, a blade " +
               "that binds, or motor leads exchanged.";
    for (std::size_t k = 1; k < f.curves.size(); ++k) {
        const double apart = mismatch(f.curves, k, f.unpowered);
        if (apart > default_mismatch_most)
            return track_name("Throttle", k) + " disagrees with track 1 by " + percent(apart) +
                   " of travel when the blade is released, at most " + percent(default_mismatch_most) +
                   " is allowed: a track drifts or has a bad contact.";
    }
    return {};
}

}  // namespace

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

std::string supply_problem(const LearnParameters& p, double supply) {
    if (supply >= p.supply_least && supply <= p.supply_most) return {};
    return "The supply is " + number(supply) + " V, the learn needs " + number(p.supply_least) + " to " +
           number(p.supply_most) + " V: charge or check the battery first.";
}

std::string band_problem(const LearnParameters& p, const char* assembly, const Readings& now, std::size_t tracks) {
    for (std::size_t k = 0; k < tracks; ++k)
        if (!(now[k] >= p.band_low && now[k] <= p.band_high))
            return track_name(assembly, k) + " reads " + percent(now[k]) +
                   " of full scale, outside the electrical band " + percent(p.band_low) + " to " +
                   percent(p.band_high) + ": look for an open or shorted signal wire or a missing reference.";
    return {};
}

std::string span_problem(const char* assembly, const Readings& start, const Readings& end, std::size_t tracks,
                         double first_least, double other_least) {
    for (std::size_t k = 0; k < tracks; ++k) {
        const double least = k == 0 ? first_least : other_least;
        const double span = abs(end[k] - start[k]);
        if (span < least)
            return track_name(assembly, k) + " changed by only " + percent(span) +
                   " of full scale from end to end, at least " + percent(least) +
                   " is needed: look for a dead track, a wrong wire or something that blocks the travel.";
    }
    return {};
}

std::string movement_problem(const BladeFindings& f, std::size_t tracks, double duty) {
    const double moved = largest_difference(f.closed, f.open, tracks);
    if (moved >= alike_most) return {};
    return "The blade did not move: no throttle track changed by more than " + percent(moved) +
           " of full scale while the motor pushed with " + percent(duty) +
           " duty: look for a jammed blade or a motor lead that is open.";
}

std::string blade_problem(const BladeFindings& f) {
    if (std::string text = common_problem("Throttle", f.curves, f.gap); !text.empty()) return text;
    return default_problem(f);
}

std::string pedal_problem(const LearnParameters& p, const PedalFindings& f) {
    const double first = f.first_press[0] - f.rest[0];
    const double second = f.second_press[0] - f.rest[0];
    const double apart = abs(first - second) / max(abs(first), abs(second));
    if (apart > p.press_agreement)
        return "The two pedal presses differ: track 1 went to " + percent(f.first_press[0]) +
               " of full scale the first time and to " + percent(f.second_press[0]) + " the second, at most " +
               percent(p.press_agreement) + " of the span is allowed: press fully to the stop both times.";
    if (p.pedal_rises && f.curves[0].span() < 0.0)
        return "Pedal track 1 falls from " + percent(f.curves[0].start()) + " to " + percent(f.curves[0].end()) +
               " of full scale when pressed, but it must rise: the pedal was held down at the start, or its " +
               "signal wires are exchanged.";
    return common_problem("Pedal", f.curves, f.gap);
}

}  // namespace twintrack::control
