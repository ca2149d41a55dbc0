// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/analysis/metrics.hpp"

#include <algorithm>
#include <cmath>

namespace twintrack::analysis {

double swing(std::span<const double> signal) noexcept {
    if (signal.empty()) return 0.0;
    const auto [least, most] = std::minmax_element(signal.begin(), signal.end());
    return *most - *least;
}

Window window(std::span<const double> time, double from, double to) noexcept {
    const auto first = std::lower_bound(time.begin(), time.end(), from);
    const auto last = std::upper_bound(first, time.end(), to);
    return {static_cast<std::size_t>(first - time.begin()), static_cast<std::size_t>(last - time.begin())};
}

double largest_distance(std::span<const double> a, std::span<const double> b, Window w) noexcept {
    double largest = 0.0;
    for (std::size_t i = w.first; i < w.last; ++i) largest = std::max(largest, std::fabs(a[i] - b[i]));
    return largest;
}

Excess excess(std::span<const double> time, std::span<const double> a, std::span<const double> b,
              double limit) noexcept {
    Excess e;
    bool beyond = false;
    double since = 0.0;
    for (std::size_t i = 0; i < time.size(); ++i) {
        const double above = a[i] - b[i];
        e.largest = std::max(e.largest, above);
        if (above <= limit) {
            beyond = false;
            continue;
        }
        if (!beyond) since = time[i];
        beyond = true;
        if (time[i] - since > e.longest) {
            e.longest = time[i] - since;
            e.longest_at = since;
        }
    }
    return e;
}

std::optional<double> settling_time(std::span<const double> time, std::span<const double> signal, double target,
                                    double band, Window w) noexcept {
    if (w.empty()) return std::nullopt;
    std::size_t settled = w.last;
    while (settled > w.first && std::fabs(signal[settled - 1] - target) <= band) --settled;
    if (settled == w.last) return std::nullopt;
    return time[settled] - time[w.first];
}

double overshoot(std::span<const double> signal, double start, double target, Window w) noexcept {
    const double step = target - start;
    if (step == 0.0) return 0.0;
    double most = 0.0;
    for (std::size_t i = w.first; i < w.last; ++i) most = std::max(most, (signal[i] - target) / step);
    return most;
}

}  // namespace twintrack::analysis
