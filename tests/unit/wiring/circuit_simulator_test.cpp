// SPDX-License-Identifier: BSD-3-Clause
#include "circuit_simulator.hpp"

#include <algorithm>
#include <cmath>

#include "random_net.hpp"
#include "twintrack/wiring/edit.hpp"

namespace {

using namespace twintrack::wiring;
using twintrack::test::NamedNet;
using twintrack::test::Uniform;

/// One of the faults a wire can have, somewhere.
Netlist damage(const Netlist& net, Uniform& u) {
    const auto resistor = [&] { return net.resistors[static_cast<std::size_t>(u.integer(0, 3))].name; };
    const auto node = [&] {
        return net.nodes[static_cast<std::size_t>(u.integer(0, static_cast<int>(net.nodes.size()) - 1))];
    };
    switch (u.integer(0, 3)) {
        case 0:
            return add_series(net, resistor(), u.decades(1, 1e6));
        case 1:
            return connect(net, node(), node(), u.decades(0.01, 1e5));
        case 2:
            return leak(net, node(), u.decades(10, 1e6));
        default:
            return exchange(net, resistor(), resistor());
    }
}

bool within(const Solution& s, double volts) {
    return s.ok() && std::all_of(s.voltages.begin(), s.voltages.end(), [&](double v) { return std::fabs(v) < volts; });
}

// General-purpose library beside ours: ngspice on 500 random nets with two random faults each.
TEST(CircuitSimulator, AgreesOn500RandomNetsWithDoubleFaults) {
    std::vector<NamedNet> nets;
    for (std::uint32_t seed = 1; nets.size() < 500; ++seed) {
        Uniform u(seed + 100000);
        Netlist net = twintrack::test::random_net(seed);
        net = damage(damage(net, u), u);
        // Some faults cut a node off, or leave a current source to a clamp's leakage: megavolts, where the simulator's
        // own digits run out.
        if (within(solve(net), 1000.0)) nets.push_back({"random net " + std::to_string(seed), net});
    }
    const std::size_t started_warm = twintrack::test::expect_same_voltages(nets);
    EXPECT_LT(started_warm, 60U);
    RecordProperty("started_warm", static_cast<int>(started_warm));
}

}  // namespace
