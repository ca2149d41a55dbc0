// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <utility>
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

/// The segments that follow from the voltages `at(k)` across each element, each at most one step from where it is.
template <class Across>
[[nodiscard]] Segments wanted(const Netlist& net, const Segments& segments, double blur, Across&& at) {
    Segments next = segments;
    std::size_t k = 0;
    for (const Clamp& e : net.clamps) {
        next[k] = static_cast<signed char>(next_segment(e, segments[k], at(k), blur));
        ++k;
    }
    for (const Regulator& e : net.regulators) {
        next[k] = static_cast<signed char>(next_segment(e, segments[k], at(k), blur));
        ++k;
    }
    return next;
}

/// Nodes between which each of these elements lies, in the order of the segments.
[[nodiscard]] inline std::vector<std::pair<Node, Node>> places(const Netlist& net) {
    std::vector<std::pair<Node, Node>> all;
    for (const Clamp& e : net.clamps) all.emplace_back(e.anode, e.cathode);
    for (const Regulator& e : net.regulators) all.emplace_back(e.output, e.ground);
    return all;
}

}  // namespace twintrack::wiring
