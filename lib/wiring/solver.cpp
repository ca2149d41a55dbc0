// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/solver.hpp"

#include <algorithm>
#include <cmath>

#include "active_set.hpp"
#include "system.hpp"

namespace twintrack::wiring {

namespace {

/// Names in the order of `branches`.
std::vector<std::string> branch_names(const Netlist& net) {
    std::vector<std::string> all;
    const auto add = [&](const auto& elements) {
        for (const auto& e : elements) all.push_back(e.name);
    };
    add(net.resistors);
    add(net.voltage_sources);
    add(net.clamps);
    add(net.regulators);
    add(net.ratio_sources);
    return all;
}

Solution failure(const Netlist& net, const System& system) {
    Solution s;
    if (!system.undetermined_nodes().empty()) {
        s.status = NetStatus::floating;
        for (const Node n : system.undetermined_nodes()) s.culprits.push_back(net.nodes[static_cast<std::size_t>(n)]);
        return s;
    }
    s.status = NetStatus::singular;
    const std::vector<std::string> names = branch_names(net);
    for (const std::size_t k : system.loop()) s.culprits.push_back(names[k]);
    return s;
}

Solution success(const Netlist& net, const System::Answer& a) {
    Solution s;
    s.voltages = a.voltages;
    auto next = a.currents.begin();
    const auto take = [&](std::vector<double>& to, std::size_t count) {
        to.assign(next, next + static_cast<std::ptrdiff_t>(count));
        next += static_cast<std::ptrdiff_t>(count);
    };
    take(s.resistors, net.resistors.size());
    take(s.voltage_sources, net.voltage_sources.size());
    take(s.clamps, net.clamps.size());
    take(s.regulators, net.regulators.size());
    take(s.ratio_sources, net.ratio_sources.size());
    return s;
}

}  // namespace

Solution solve(const Netlist& net) {
    validate_net(net);
    const std::vector<double> injection = injections(net);
    const auto where = places(net);
    Segments segments(where.size(), 0);
    std::vector<std::size_t> changed;
    for (int round = 0; round < most_rounds; ++round) {
        const System system(net.nodes.size(), branches(net, segments));
        if (!system.solvable()) return failure(net, system);
        const System::Answer a = system.solve(system.own_voltages(), injection);
        const auto volts = [&](Node n) { return a.voltages[static_cast<std::size_t>(n)]; };
        double largest = 1.0;
        for (const double v : a.voltages) largest = std::max(largest, std::fabs(v));
        const auto across = [&](std::size_t k) { return volts(where[k].first) - volts(where[k].second); };
        changed = advance(segments, wanted(net, segments, 1e-12 * largest, across), round);
        if (changed.empty()) return success(net, a);
    }
    Solution s;
    s.status = NetStatus::unsettled;
    const std::vector<std::string> names = branch_names(net);
    for (const std::size_t k : changed)
        s.culprits.push_back(names[net.resistors.size() + net.voltage_sources.size() + k]);
    return s;
}

std::string Solution::sentence() const {
    std::string list;
    for (const std::string& name : culprits) list += (list.empty() ? "" : ", ") + name;
    switch (status) {
        case NetStatus::ok:
            return "solved";
        case NetStatus::floating:
            return "nothing ties these nodes to the ground: " + list;
        case NetStatus::singular:
            return "these elements without resistance form a loop: " + list;
        case NetStatus::unsettled:
            break;
    }
    return "no consistent state found for: " + list;
}

}  // namespace twintrack::wiring
