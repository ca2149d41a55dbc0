// SPDX-License-Identifier: BSD-3-Clause
#include "branches.hpp"

#include <limits>

namespace twintrack::wiring {

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

}  // namespace

Branch branch(const Resistor& e) { return {{{{e.a, 1.0}, {e.b, -1.0}}}, 0.0, e.resistance}; }

Branch branch(const VoltageSource& e) { return {{{{e.plus, 1.0}, {e.minus, -1.0}}}, e.voltage, e.resistance}; }

Branch branch(const RatioSource& e) {
    return {{{{e.output, 1.0}, {e.low, e.ratio - 1.0}, {e.high, -e.ratio}}},
            0.0,
            series_resistance(e.resistance, e.track_resistance, e.ratio)};
}

Branch branch(const Clamp& e, int segment) {
    // Conducting: j = drop/R_off + (v − drop)/R_on.
    const double voltage = segment == 0 ? 0.0 : e.drop * (1.0 - e.on_resistance / e.off_resistance);
    return {{{{e.anode, 1.0}, {e.cathode, -1.0}}}, voltage, segment == 0 ? e.off_resistance : e.on_resistance};
}

Branch branch(const Regulator& e, int segment) {
    // Limiting: −j = I + (U − R I − v)/R_limit.
    const double limit = segment == 0 ? 0.0 : segment > 0 ? e.source_limit : -e.sink_limit;
    return {{{{e.output, 1.0}, {e.ground, -1.0}}},
            e.voltage + limit * (e.limit_resistance - e.resistance),
            segment == 0 ? e.resistance : e.limit_resistance};
}

Bounds bounds(const Clamp& e, int segment) { return segment == 0 ? Bounds{-never, e.drop} : Bounds{e.drop, never}; }

Bounds bounds(const Regulator& e, int segment) {
    const double most = e.resistance * e.source_limit, least = -e.resistance * e.sink_limit;
    if (segment == 0) return {-most, -least};
    return segment > 0 ? Bounds{-never, -most} : Bounds{-least, never};
}

int next_segment(const Clamp& e, int segment, double v, double blur) {
    const Bounds b = bounds(e, segment);
    return v > b.high + blur ? segment + 1 : v < b.low - blur ? segment - 1 : segment;
}

int next_segment(const Regulator& e, int segment, double v, double blur) {
    const Bounds b = bounds(e, segment);
    const double over = v - e.voltage;
    return over < b.low - blur ? segment + 1 : over > b.high + blur ? segment - 1 : segment;
}

std::vector<Branch> branches(const Netlist& net, const Segments& segments) {
    std::vector<Branch> all;
    for (const auto& e : net.resistors) all.push_back(branch(e));
    for (const auto& e : net.voltage_sources) all.push_back(branch(e));
    std::size_t k = 0;
    for (const auto& e : net.clamps) all.push_back(branch(e, segments[k++]));
    for (const auto& e : net.regulators) all.push_back(branch(e, segments[k++]));
    for (const auto& e : net.ratio_sources) all.push_back(branch(e));
    return all;
}

std::vector<double> injections(const Netlist& net) {
    std::vector<double> into(net.nodes.size(), 0.0);
    for (const auto& e : net.current_sources) {
        into[static_cast<std::size_t>(e.from)] -= e.current;
        into[static_cast<std::size_t>(e.to)] += e.current;
    }
    return into;
}

}  // namespace twintrack::wiring
