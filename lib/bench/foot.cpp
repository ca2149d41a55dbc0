// SPDX-License-Identifier: BSD-3-Clause
#include "foot.hpp"

#include <algorithm>
#include <functional>

namespace twintrack::bench::foot {

namespace {

struct Points {
    std::vector<double> time, travel;
};

/// The stroke's knots, with one more wherever it crosses `level`, so that a limit at that level bends only at knots.
Points with_crossings(const Stroke& s, double level) {
    const auto x = s.table().x(), y = s.table().y();
    Points p;
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (i > 0 && (y[i - 1] - level) * (y[i] - level) < 0.0) {
            const double t = x[i - 1] + (x[i] - x[i - 1]) * (level - y[i - 1]) / (y[i] - y[i - 1]);
            if (t > x[i - 1] && t < x[i]) {
                p.time.push_back(t);
                p.travel.push_back(level);
            }
        }
        p.time.push_back(x[i]);
        p.travel.push_back(y[i]);
    }
    return p;
}

Stroke mapped(Points p, const std::function<double(std::size_t, double)>& change) {
    for (std::size_t i = 0; i < p.travel.size(); ++i) p.travel[i] = std::clamp(change(i, p.travel[i]), 0.0, 1.0);
    return {std::move(p.time), std::move(p.travel)};
}

/// Index of the first knot at which the stroke is at its furthest.
std::size_t first_peak(const Points& p) {
    const double most = *std::max_element(p.travel.begin(), p.travel.end());
    return static_cast<std::size_t>(
        std::find_if(p.travel.begin(), p.travel.end(), [&](double y) { return y >= most; }) - p.travel.begin());
}

}  // namespace

Stroke shortened(const Stroke& s, double share) {
    return mapped(with_crossings(s, share), [&](std::size_t, double y) { return share * y; });
}

Stroke pressed_once(const Stroke& s) {
    Points p = with_crossings(s, 0.0);
    const double rest = *std::min_element(p.travel.begin(), p.travel.end());
    std::size_t back = first_peak(p);
    while (back + 1 < p.travel.size() && p.travel[back] > rest) ++back;
    return mapped(std::move(p), [&](std::size_t i, double y) { return i > back ? rest : y; });
}

Stroke not_released(const Stroke& s, double share) {
    Points p = with_crossings(s, share);
    const std::size_t peak = first_peak(p);
    return mapped(std::move(p), [&](std::size_t i, double y) { return i > peak ? std::max(y, share) : y; });
}

Stroke blocked(const Stroke& s, double share) {
    return mapped(with_crossings(s, share), [&](std::size_t, double y) { return std::min(y, share); });
}

Stroke resting(const Stroke& s, double share) {
    return mapped(with_crossings(s, share), [&](std::size_t, double y) { return share + (1.0 - share) * y; });
}

Stroke lifted_late(const Stroke& s, double share) {
    Points p = with_crossings(s, share);
    const std::size_t peak = first_peak(p);
    return mapped(std::move(p), [&](std::size_t i, double y) { return i < peak ? std::max(y, share) : y; });
}

}  // namespace twintrack::bench::foot
