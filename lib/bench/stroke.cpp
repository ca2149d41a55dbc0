// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/stroke.hpp"

#include <string>

#include "twintrack/core/described.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::bench {

namespace {

constexpr double longest_stroke = 10000.0;  // [s]

}  // namespace

Stroke::Stroke(std::vector<double> time, std::vector<double> travel)
    : table_(std::move(time), std::move(travel), "stroke") {
    require(static_cast<double>(table_.x().size()), {1.0, 10000.0}, "stroke.time", "points", "length of the list");
    require(table_.x().front(), {0.0, longest_stroke}, "stroke.time", "s", "first time of a stroke");
    require(table_.x().back(), {0.0, longest_stroke}, "stroke.time", "s", "last time of a stroke");
    for (const double y : table_.y()) require(y, {0.0, 1.0}, "stroke.travel", "", "share of pedal travel");
}

Stroke Stroke::rest_half_full_rest() {
    return Stroke({0.0, 2.0, 3.0, 4.5, 5.5, 7.0, 8.0, 9.5}, {0.0, 0.0, 0.5, 0.5, 1.0, 1.0, 0.0, 0.0});
}

Stroke Stroke::two_presses() {
    return Stroke({0.0, 8.0, 9.0, 9.5, 10.5, 11.0, 12.0, 12.5, 13.5, 15.0},
                  {0.0, 0.0, 1.0, 1.0, 0.0, 0.0, 1.0, 1.0, 0.0, 0.0});
}

Stroke Stroke::rest(double duration) { return Stroke({0.0, duration}, {0.0, 0.0}); }

std::vector<Stroke::Hold> Stroke::holds(double least) const {
    std::vector<Hold> found;
    const auto x = table_.x(), y = table_.y();
    for (std::size_t i = 1; i < x.size(); ++i) {
        if (y[i] != y[i - 1]) continue;
        if (!found.empty() && found.back().to == x[i - 1]) {
            found.back().to = x[i];
        } else {
            found.push_back({x[i - 1], x[i], y[i]});
        }
    }
    std::erase_if(found, [&](const Hold& h) { return h.to - h.from < least; });
    return found;
}

}  // namespace twintrack::bench
