// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/trace.hpp"

#include <algorithm>
#include <cmath>

#include "twintrack/core/error.hpp"

namespace twintrack::study {

namespace {

constexpr double idle_tolerance = 0.02;  // [share of travel] this bench's own, as `Limits::settled`

struct Assembly {
    std::string name;                                   ///< "pedal" or "throttle"
    std::size_t tracks;                                 ///< 2 or 3
    const std::vector<control::LearnedTrack>* learned;  ///< nullptr: not learned
};

/// How far a track lies outside the band [V]; negative inside.
double outside(double volts, double low, double high) { return std::max(low - volts, volts - high); }

/// What the rules need of the tracks of one assembly, row by row.
class TrackJudge {
public:
    TrackJudge(const Record& record, const bench::BenchParameters& p, const Assembly& a)
        : assembly_(a), reference_(p.reference), low_(p.monitor.band_low), high_(p.monitor.band_high) {
        for (std::size_t k = 0; k < a.tracks; ++k)
            volts_.push_back(record.column(a.name + ".track" + std::to_string(k + 1)));
    }

    double outside_volts(std::size_t row) const {
        double worst = outside_of(0, row), second = outside_of(1, row);
        if (second > worst) std::swap(worst, second);
        if (assembly_.tracks < 3) return worst;
        return std::clamp(outside_of(2, row), second, worst);  // of three the second worst
    }

    double mismatch(std::size_t row) const {
        control::Readings readings{};
        for (std::size_t k = 0; k < assembly_.tracks; ++k) readings[k] = volts_[k][row] / reference_;
        double best = 1.0;
        for (std::size_t i = 0; i < assembly_.tracks; ++i)
            for (std::size_t j = i + 1; j < assembly_.tracks; ++j)
                if (outside_of(i, row) <= 0.0 && outside_of(j, row) <= 0.0)
                    best = std::min(best, std::fabs(distance(i, readings) - distance(j, readings)));
        return best;
    }

private:
    double outside_of(std::size_t k, std::size_t row) const {
        return outside(volts_[k][row], low_ * reference_, high_ * reference_);
    }

    /// Signed distance of a track from where the first track says it is [share of travel].
    double distance(std::size_t k, const control::Readings& readings) const {
        const auto& tracks = *assembly_.learned;
        const double position = tracks[0].linear_position(readings[0]);
        return k == 0 ? 0.0 : (readings[k] - tracks[k].expected(position)) / tracks[k].span();
    }

    Assembly assembly_;
    double reference_, low_, high_;
    std::vector<std::span<const double>> volts_;
};

void add_tracks(Trace& trace, const bench::BenchParameters& p, const Assembly& a) {
    const TrackJudge judge(trace.record(), p, a);
    std::vector<double> outside(trace.size()), mismatch(trace.size());
    const bool learned = a.learned != nullptr && a.learned->size() >= a.tracks;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        outside[i] = judge.outside_volts(i);
        if (learned) mismatch[i] = judge.mismatch(i);
    }
    trace.add(a.name + ".tracks", static_cast<double>(a.tracks));
    trace.add(a.name + ".outside", std::move(outside));
    if (learned) trace.add(a.name + ".mismatch", std::move(mismatch));
}

void add_brake(Trace& trace, const bench::BenchParameters& p) {
    const auto volts = trace.find("brake.volts");
    if (!volts) return;
    const auto& band = p.monitor.brake;
    std::vector<double> column;
    for (const double v : *volts)
        column.push_back(outside(v, band.band_low * p.reference, band.band_high * p.reference));
    trace.add("brake.outside", std::move(column));
}

void add_device(Trace& trace, const bench::BenchParameters& p) {
    const auto supply = trace.find("supply");
    if (!trace.find("device.tripped") || !supply) return;
    std::vector<double> column;
    for (const double v : *supply) column.push_back(p.monitor.device.least_supply - v);
    trace.add("device.undervoltage", std::move(column));
}

void add_speed_limit(Trace& trace, const bench::BenchParameters& p) {
    const auto reaction = trace.find("reaction");
    if (!reaction) return;
    std::vector<double> column;
    for (const double level : *reaction)
        column.push_back(p.monitor.ladder.of(static_cast<monitor::Reaction>(static_cast<int>(level))).speed_limit);
    trace.add("speed_limit", std::move(column));
}

}  // namespace

Trace::Trace(const Record& record) : record_(&record) {
    microseconds_.reserve(record.size());
    for (const double t : record.time()) {
        if (!std::isfinite(t) || std::fabs(t) > 1e9)
            throw InvalidParameter("time", "must be finite and within ±1e9 s, got " + std::to_string(t));
        microseconds_.push_back(from_seconds(t).count());
        if (microseconds_.size() > 1 && microseconds_.back() < *(microseconds_.end() - 2))
            throw InvalidParameter("time", "decreases in row " + std::to_string(microseconds_.size()));
    }
}

void Trace::add(const std::string& name, std::vector<double> column) {
    if (column.size() != size())
        throw InvalidParameter(
            name, "has " + std::to_string(column.size()) + " rows, the record has " + std::to_string(size()));
    if (find(name)) throw InvalidParameter(name, "there is a signal of this name already");
    more_.emplace(name, std::move(column));
}

void Trace::add(const std::string& name, double figure) { add(name, std::vector<double>(size(), figure)); }

std::optional<std::span<const double>> Trace::find(const std::string& name) const {
    if (const auto own = more_.find(name); own != more_.end()) return own->second;
    const auto& signals = record_->signals();
    for (std::size_t k = 0; k < signals.size(); ++k)
        if (signals[k].name == name) return record_->column(k);
    return std::nullopt;
}

Trace observed(const Record& record, const bench::BenchParameters& p,
               const std::optional<control::LearnedRange>& learned) {
    Trace trace(record);
    const auto& stops = p.body.mechanics.stops;
    const double at_rest =
        (plant::default_angle(p.body.mechanics) - stops.closed_angle) / (stops.open_angle - stops.closed_angle);
    const Table map(p.controller.pedal_map.pedal, p.controller.pedal_map.opening, "controller.pedal_map");
    trace.add("default_opening", at_rest);
    std::vector<double> idle(trace.size(), std::max(at_rest, map(0.0)) + idle_tolerance);
    if (const auto governed = trace.find("idle.opening"))
        for (std::size_t k = 0; k < idle.size(); ++k) idle[k] = std::max(idle[k], (*governed)[k] + idle_tolerance);
    trace.add("idle_opening", std::move(idle));
    trace.add("braking_opening", p.monitor.brake.opening);
    add_brake(trace, p);
    add_device(trace, p);
    add_speed_limit(trace, p);
    add_tracks(trace, p, {"pedal", p.pedal.tracks.size(), learned ? &learned->pedal : nullptr});
    add_tracks(trace, p, {"throttle", p.body.tracks.size(), learned ? &learned->throttle : nullptr});
    return trace;
}

}  // namespace twintrack::study
