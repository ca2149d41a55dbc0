// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "branches.hpp"

namespace twintrack::wiring {

inline constexpr int greedy_rounds = 8;   ///< rounds that flip every inconsistent element at once
inline constexpr int most_rounds = 1000;  ///< then one by one, by the least index; more means it does not settle

/// Moves segments towards `next` after round number `round`. Returns the elements that changed.
inline std::vector<std::size_t> advance(Segments& segments, const Segments& next, int round) {
    std::vector<std::size_t> changed;
    for (std::size_t k = 0; k < segments.size(); ++k) {
        if (segments[k] == next[k]) continue;
        segments[k] = next[k];
        changed.push_back(k);
        if (round >= greedy_rounds) break;
    }
    return changed;
}

/// The segments that the voltages ask for, each at most one step from where it is.
template <class Voltages>
[[nodiscard]] Segments wanted(const Netlist& net, const Segments& segments, const Voltages& v) {
    double scale = 0.0;
    for (const double volts : v) scale = volts > scale ? volts : -volts > scale ? -volts : scale;
    Segments next = segments;
    std::size_t k = 0;
    const auto at = [&](Node n) { return v[static_cast<std::size_t>(n)]; };
    for (const Clamp& e : net.clamps) {
        next[k] = static_cast<signed char>(next_segment(e, segments[k], at(e.anode) - at(e.cathode), scale));
        ++k;
    }
    for (const Regulator& e : net.regulators) {
        next[k] = static_cast<signed char>(next_segment(e, segments[k], at(e.output) - at(e.ground), scale));
        ++k;
    }
    return next;
}

}  // namespace twintrack::wiring
