// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>
#include <cmath>
#include <vector>

#include "twintrack/wiring/solver.hpp"

/// The laws of a net, written again from the textbook and not from the solver's branches.
namespace twintrack::test {

/// Largest sum of currents at a node, as a share of the largest current in the net (at least 1 mA).
inline double kirchhoff_error(const wiring::Netlist& net, const wiring::Solution& s) {
    std::vector<double> sum(net.nodes.size(), 0.0);
    double largest = 1e-3;
    const auto draw = [&](wiring::Node n, double current) {
        sum[static_cast<std::size_t>(n)] += current;
        largest = std::max(largest, std::fabs(current));
    };
    const auto pair = [&](wiring::Node in, wiring::Node out, double current) {
        draw(in, current);
        draw(out, -current);
    };
    for (std::size_t k = 0; k < net.resistors.size(); ++k) pair(net.resistors[k].a, net.resistors[k].b, s.resistors[k]);
    for (std::size_t k = 0; k < net.voltage_sources.size(); ++k)
        pair(net.voltage_sources[k].plus, net.voltage_sources[k].minus, s.voltage_sources[k]);
    for (const auto& e : net.current_sources) pair(e.from, e.to, e.current);
    for (std::size_t k = 0; k < net.clamps.size(); ++k) pair(net.clamps[k].anode, net.clamps[k].cathode, s.clamps[k]);
    for (std::size_t k = 0; k < net.regulators.size(); ++k)
        pair(net.regulators[k].output, net.regulators[k].ground, s.regulators[k]);
    for (std::size_t k = 0; k < net.ratio_sources.size(); ++k) {
        const auto& e = net.ratio_sources[k];
        draw(e.output, s.ratio_sources[k]);
        draw(e.low, -(1.0 - e.ratio) * s.ratio_sources[k]);
        draw(e.high, -e.ratio * s.ratio_sources[k]);
    }
    double worst = 0.0;
    for (const double value : sum) worst = std::max(worst, std::fabs(value));
    return worst / largest;
}

/// Largest violation of an element's law [V], as a share of the largest voltage (at least 1 V).
inline double law_error(const wiring::Netlist& net, const wiring::Solution& s) {
    double worst = 0.0, largest = 1.0;
    for (const double v : s.voltages) largest = std::max(largest, std::fabs(v));
    const auto v = [&](wiring::Node n) { return s.voltages[static_cast<std::size_t>(n)]; };
    const auto take = [&](double error) { worst = std::max(worst, std::fabs(error)); };
    for (std::size_t k = 0; k < net.resistors.size(); ++k) {
        const auto& e = net.resistors[k];
        take(v(e.a) - v(e.b) - e.resistance * s.resistors[k]);
    }
    for (std::size_t k = 0; k < net.voltage_sources.size(); ++k) {
        const auto& e = net.voltage_sources[k];
        take(v(e.plus) - v(e.minus) - e.voltage - e.resistance * s.voltage_sources[k]);
    }
    for (std::size_t k = 0; k < net.ratio_sources.size(); ++k) {
        const auto& e = net.ratio_sources[k];
        const double inner = e.resistance + e.ratio * (1.0 - e.ratio) * e.track_resistance;
        take(v(e.output) - (v(e.low) + e.ratio * (v(e.high) - v(e.low))) - inner * s.ratio_sources[k]);
    }
    for (std::size_t k = 0; k < net.clamps.size(); ++k) {
        const auto& e = net.clamps[k];
        const double volts = v(e.anode) - v(e.cathode);
        const double law =
            volts < e.drop ? volts / e.off_resistance : e.drop / e.off_resistance + (volts - e.drop) / e.on_resistance;
        take((s.clamps[k] - law) * e.on_resistance);
    }
    for (std::size_t k = 0; k < net.regulators.size(); ++k) {
        const auto& e = net.regulators[k];
        const double lack = e.voltage - v(e.output) + v(e.ground);
        double law = lack / e.resistance;
        if (law > e.source_limit)
            law = e.source_limit + (lack - e.resistance * e.source_limit) / e.limit_resistance;
        else if (law < -e.sink_limit)
            law = -e.sink_limit + (lack + e.resistance * e.sink_limit) / e.limit_resistance;
        take((-s.regulators[k] - law) * e.resistance);
    }
    return worst / largest;
}

}  // namespace twintrack::test
