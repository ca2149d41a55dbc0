// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/curve_collector.hpp"

#include <algorithm>

#include "twintrack/core/number.hpp"
#include "twintrack/core/table.hpp"

namespace twintrack::control {

namespace {

std::size_t bin_of(double reading) noexcept {
    constexpr double last = static_cast<double>(CurveCollector::bins - 1);
    return static_cast<std::size_t>(clamp(reading * (last + 1.0), 0.0, last));
}

}  // namespace

void CurveCollector::add(const Readings& now) noexcept {
    Bin& bin = bins_[bin_of(now[0])];
    for (std::size_t k = 0; k < now.size(); ++k) bin.sum[k] += now[k];
    ++bin.count;
}

std::vector<LearnedTrack> CurveCollector::curves(const Readings& start, const Readings& end, std::size_t tracks) const {
    const double low = min(start[0], end[0]);
    const double high = max(start[0], end[0]);
    const double margin = 0.25 * (high - low) / static_cast<double>(curve_knots - 1);
    std::vector<double> first;
    std::vector<std::vector<double>> other(tracks);
    const auto add_knot = [&](const Readings& sum, int count) {
        first.push_back(sum[0] / count);
        for (std::size_t k = 0; k < tracks; ++k) other[k].push_back(sum[k] / count);
    };
    const bool rising = start[0] < end[0];
    add_knot(rising ? start : end, 1);
    for (const Bin& bin : bins_)
        if (bin.count > 0 && bin.sum[0] / bin.count > low + margin && bin.sum[0] / bin.count < high - margin)
            add_knot(bin.sum, bin.count);
    add_knot(rising ? end : start, 1);
    std::vector<LearnedTrack> out = {straight_track(start[0], end[0])};
    for (std::size_t k = 1; k < tracks; ++k) {
        const Table table(first, other[k], "learned curve");
        LearnedTrack& track = out.emplace_back();
        for (std::size_t i = 0; i < curve_knots; ++i) track.curve[i] = table(out[0].curve[i]);
    }
    return out;
}

double CurveCollector::widest_gap(double start, double end) const noexcept {
    const auto [low, high] = std::minmax({bin_of(start), bin_of(end)});
    std::size_t widest = 0;
    std::size_t gap = 0;
    for (std::size_t i = low; i <= high; ++i) {
        gap = bins_[i].count > 0 ? 0 : gap + 1;
        widest = std::max(widest, gap);
    }
    return static_cast<double>(widest) / static_cast<double>(high - low + 1);
}

}  // namespace twintrack::control
