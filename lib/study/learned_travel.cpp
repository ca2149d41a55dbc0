// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/learned_travel.hpp"

#include <algorithm>
#include <string>

#include "twintrack/bench/static_readings.hpp"
#include "twintrack/control/controller.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::study {

namespace {

constexpr std::size_t steps = 100;
constexpr double touching = 0.05;  // [Ω] between two shorted signals, as in the list of every single wiring fault

using Tracks = std::vector<control::LearnedTrack>;

std::vector<double> positions() {
    std::vector<double> all;
    for (std::size_t i = 0; i <= steps; ++i) all.push_back(static_cast<double>(i) / steps);
    return all;
}

double worst_mismatch(const Tracks& tracks, const control::Readings& readings) {
    double worst = 0.0;
    for (std::size_t k = 1; k < tracks.size(); ++k) worst = std::max(worst, control::mismatch(tracks, k, readings));
    return worst;
}

/// By position, the disagreement that the least visible short between two tracks of an assembly leaves.
std::vector<double> shorted(const bench::BenchParameters& p, const std::string& assembly, const Tracks& tracks) {
    std::vector<double> least(steps + 1, 1e3);
    const std::string signal = (assembly == "pedal" ? "pedal" : "throttle") + std::string(" signal ");
    for (std::size_t i = 1; i <= tracks.size(); ++i)
        for (std::size_t j = i + 1; j <= tracks.size(); ++j) {
            const fault::Fault touch{.where = signal + std::to_string(i),
                                     .what = "short_to",
                                     .to = {},
                                     .amount = touching,
                                     .with = signal + std::to_string(j)};
            const auto held = bench::static_readings(p, positions(), {touch});
            for (std::size_t row = 0; row <= steps; ++row)
                least[row] = std::min(
                    least[row], worst_mismatch(tracks, assembly == "pedal" ? held[row].pedal : held[row].throttle));
        }
    return least;
}

bool opposed(const Tracks& tracks) {
    return std::any_of(tracks.begin(), tracks.end(),
                       [&](const control::LearnedTrack& t) { return t.span() * tracks[0].span() < 0.0; });
}

/// The built-in controller with that range, its output unused.
class PositionEstimator {
public:
    PositionEstimator(const bench::BenchParameters& p, const control::LearnedRange& learned)
        : controller_(p.controller, p.body.mechanics, learned, from_seconds(p.control_period),
                      p.acquisition.filter_time, p.acquisition.bits) {}

    control::Command ask(const bench::StaticReadings& held) {
        control::Input in;
        in.pedal = held.pedal;
        in.throttle = held.throttle;
        in.motor_permitted = false;
        return controller_.step(in);
    }

private:
    control::Controller controller_;
};

std::vector<Signal> signals(bool with_shorts) {
    std::vector<Signal> all;
    for (const std::string assembly : {"pedal", "throttle"})
        for (const char* k : {"1", "2", "3"}) all.push_back({assembly + ".track" + k, "V"});
    for (const char* name : {"pedal.travel", "pedal.position", "asked", "demand", "blade.opening", "opening",
                             "default.learned", "default.believed", "pedal.opposed", "throttle.opposed"})
        all.push_back({name, ""});
    if (with_shorts)
        for (const char* name : {"pedal.short", "throttle.short"}) all.push_back({name, ""});
    return all;
}

void check_tracks(const bench::BenchParameters& p, const control::LearnedRange& learned) {
    check(learned, "learned");
    if (learned.pedal.size() != p.pedal.tracks.size() || learned.throttle.size() != p.body.tracks.size())
        throw InvalidParameter("learned", "has " + std::to_string(learned.pedal.size()) + " pedal tracks and " +
                                              std::to_string(learned.throttle.size()) + " throttle tracks, the pair " +
                                              std::to_string(p.pedal.tracks.size()) + " and " +
                                              std::to_string(p.body.tracks.size()));
}

/// Where the springs leave the unpowered blade [share of travel].
double default_position(const bench::BenchParameters& p) {
    const auto& stops = p.body.mechanics.stops;
    return (plant::default_angle(p.body.mechanics) - stops.closed_angle) / (stops.open_angle - stops.closed_angle);
}

}  // namespace

Record learned_travel(const bench::BenchParameters& p, const control::LearnedRange& learned,
                      const std::vector<fault::Fault>& faults) {
    check_tracks(p, learned);
    const bool harness = p.wiring.kind == bench::WiringKind::harness;
    const std::vector<double> at = positions();
    const auto held = bench::static_readings(p, at, faults);
    const double rest[] = {std::clamp(default_position(p), 0.0, 1.0)};
    PositionEstimator estimator(p, learned);
    const double rest_believed = estimator.ask(bench::static_readings(p, rest, faults)[0]).opening;
    const Table map(p.controller.pedal_map.pedal, p.controller.pedal_map.opening, "controller.pedal_map");
    std::vector<double> pedal_short, throttle_short;
    if (harness) {
        pedal_short = shorted(p, "pedal", learned.pedal);
        throttle_short = shorted(p, "throttle", learned.throttle);
    }
    Record record(signals(harness));
    for (std::size_t i = 0; i <= steps; ++i) {
        const control::Command c = estimator.ask(held[i]);
        std::vector<double> row(held[i].pedal_volts.begin(), held[i].pedal_volts.end());
        row.insert(row.end(), held[i].throttle_volts.begin(), held[i].throttle_volts.end());
        for (const double v : {at[i], c.pedal, map(at[i]), c.demand, at[i], c.opening, learned.default_opening,
                               rest_believed, double(opposed(learned.pedal)), double(opposed(learned.throttle))})
            row.push_back(v);
        if (harness) row.insert(row.end(), {pedal_short[i], throttle_short[i]});
        record.append(from_seconds(at[i]), row);
    }
    return record;
}

}  // namespace twintrack::study
