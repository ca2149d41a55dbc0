// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/ohmmeter.hpp"

#include <gtest/gtest.h>

#include "twintrack/core/error.hpp"
#include "twintrack/wiring/solver.hpp"

namespace {

using namespace twintrack::wiring;

Netlist net_of(std::vector<Resistor> resistors, std::vector<std::string> nodes) {
    Netlist net;
    net.nodes = std::move(nodes);
    net.resistors = std::move(resistors);
    return net;
}

// Analytic: a Wheatstone bridge in balance carries nothing across; between its corners two branches of 30 ohm lie side
// by side.
TEST(Ohmmeter, BalancedBridge) {
    const Netlist net =
        net_of({{"r1", 1, 2, 10}, {"r2", 2, 3, 20}, {"r3", 1, 4, 10}, {"r4", 4, 3, 20}, {"r5", 2, 4, 7}},
               {"ground", "a", "b", "c", "d"});
    const auto found = ohms(net, {{1, 3}, {2, 4}, {1, 1}});
    EXPECT_NEAR(found[0], 15.0, 1e-6);
    EXPECT_NEAR(found[1], 1.0 / (1.0 / 7.0 + 1.0 / 20.0 + 1.0 / 40.0), 1e-6);
    EXPECT_EQ(found[2], 0.0);
}

// Analytic: milliohms between two nodes that hang on a gigaohm keep their digits.
TEST(Ohmmeter, MilliohmsOnGigaohms) {
    const Netlist net = net_of({{"wire", 1, 2, 0.005}, {"i1", 1, 0, 1e9}, {"i2", 2, 0, 1e9}}, {"ground", "a", "b"});
    const auto found = ohms(net, {{1, 2}, {1, 0}});
    EXPECT_NEAR(found[0], 0.005, 1e-10);
    EXPECT_NEAR(found[1] / 0.5e9, 1.0, 1e-3);
}

// Analytic: an ideal joint, and nodes that hang on nothing.
TEST(Ohmmeter, JointsAndFreeNodes) {
    const Netlist net = net_of({{"joint", 1, 2, 0.0}}, {"ground", "a", "b", "c"});
    const auto found = ohms(net, {{1, 2}, {1, 3}});
    EXPECT_NEAR(found[0], 0.0, 1e-5);
    EXPECT_GT(found[1], 1e11);
}

// The solver of the folder beside it: a current of 1 A through the pair.
TEST(Ohmmeter, AgreesWithTheSolver) {
    Netlist net =
        net_of({{"r1", 1, 2, 3.3}, {"r2", 2, 0, 470}, {"r3", 1, 0, 1e4}, {"r4", 3, 2, 0.05}, {"r5", 3, 0, 1e6}},
               {"ground", "a", "b", "c"});
    const double own = ohms(net, {{1, 3}})[0];
    net.current_sources.push_back({"one ampere", 3, 1, 1.0});
    const Solution s = solve(net);
    ASSERT_TRUE(s.ok());
    EXPECT_NEAR(own, s.voltages[1] - s.voltages[3], 1e-8);
}

TEST(Ohmmeter, RefusesNodesThatAreNotThere) {
    const Netlist net = net_of({{"r", 1, 0, 1.0}}, {"ground", "a"});
    EXPECT_THROW(static_cast<void>(ohms(net, {{1, 2}})), twintrack::InvalidParameter);
}

}  // namespace
