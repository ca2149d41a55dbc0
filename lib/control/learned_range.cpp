// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learned_range.hpp"

#include <limits>

#include "twintrack/core/described.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/core/text.hpp"

namespace twintrack::control {

namespace {

void check_tracks(const std::vector<LearnedTrack>& tracks, const std::string& path) {
    require(static_cast<double>(tracks.size()), {2.0, static_cast<double>(sensing::max_tracks)}, path, "entries",
            "learned tracks");
    for (std::size_t k = 0; k < tracks.size(); ++k) {
        const std::string where = path + "[" + std::to_string(k + 1) + "]";
        for (const double reading : tracks[k].curve)
            require(reading, {0.0, 1.0}, where + ".curve", "", "learned reading, share of full scale");
        if (tracks[k].span() == 0.0)
            throw InvalidParameter(where + ".curve",
                                   "both ends read " + std::to_string(tracks[k].start()) + "; they must differ");
    }
}

}  // namespace

double LearnedTrack::expected(double position) const noexcept {
    constexpr double last = static_cast<double>(curve_knots - 1);
    const double x = position * last;
    const auto i = static_cast<std::size_t>(clamp(x, 0.0, last - 1.0));
    const double left = static_cast<double>(i);
    return curve[i] + (x - left) * (curve[i + 1] - curve[i]);
}

double LearnedTrack::linear_position(double reading) const noexcept { return (reading - start()) / span(); }

double LearnedTrack::highest_position(double reading, double slack) const noexcept {
    const double direction = select(span() < 0.0, -1.0, 1.0);
    const double most = direction * reading + slack * abs(span());
    for (std::size_t i = curve_knots - 1;; --i) {
        const double here = direction * curve[i];
        if (here <= most) {
            if (i == curve_knots - 1) return std::numeric_limits<double>::infinity();
            const double share = (most - here) / (direction * curve[i + 1] - here);
            return (static_cast<double>(i) + share) / static_cast<double>(curve_knots - 1);
        }
        if (i == 0) return 0.0;
    }
}

double LearnedTrack::lowest_position(double reading) const noexcept {
    const double direction = select(span() < 0.0, -1.0, 1.0);
    // Where the end is flat, noise must not separate its positions.
    const double slack = 0.005 * abs(span()), top = direction * end();
    const bool flat = top - direction * curve[curve_knots - 2] < slack;
    const double wanted = flat ? min(direction * reading, top - slack) : direction * reading;
    if (wanted <= direction * start()) return linear_position(reading);
    for (std::size_t i = 0; i + 1 < curve_knots; ++i) {
        const double here = direction * curve[i], next = direction * curve[i + 1];
        if (wanted > next) continue;
        const double share = next > here ? max((wanted - here) / (next - here), 0.0) : 0.0;
        return (static_cast<double>(i) + share) / static_cast<double>(curve_knots - 1);
    }
    return linear_position(reading);
}

LearnedTrack straight_track(double start, double end) noexcept {
    LearnedTrack track;
    constexpr double last = static_cast<double>(curve_knots - 1);
    for (std::size_t i = 0; i < curve_knots; ++i)
        track.curve[i] = start + (end - start) * (static_cast<double>(i) / last);
    track.curve.back() = end;
    return track;
}

double mismatch(const std::vector<LearnedTrack>& tracks, std::size_t k,
                const std::array<double, sensing::max_tracks>& readings) noexcept {
    const double position = tracks[0].linear_position(readings[0]);
    return abs(readings[k] - tracks[k].expected(position)) / abs(tracks[k].span());
}

void check(const LearnedRange& range, const std::string& path) {
    check_tracks(range.pedal, path + ".pedal");
    check_tracks(range.throttle, path + ".throttle");
    require_text(range.pedal_name, path + ".pedal_name", "name of the pedal");
    require_text(range.body_name, path + ".body_name", "name of the throttle body");
    require(range.default_opening, {-0.1, 1.0}, path + ".default_opening", "", "default position, share of travel");
    require(range.supply, {0.0, 1e3}, path + ".supply", "V", "supply under which it was learned");
    require(range.learned_at, {0.0, 1e12}, path + ".learned_at", "s", "time since key-on at which it was learned");
    require(range.count, {0.0, 2147483647.0}, path + ".count", "", "number of the learn");
}

}  // namespace twintrack::control
