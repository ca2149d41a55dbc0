// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/edit.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "twintrack/core/error.hpp"
#include "twintrack/wiring/solver.hpp"

namespace {

using namespace twintrack::wiring;

/// 5 V through a wire to a load, and a second wire to a heavier load.
Netlist two_wires() {
    Netlist net;
    const Node supply = net.node("supply"), a = net.node("a"), b = net.node("b");
    net.voltage_sources = {{"source", supply, 0, 5.0, 0.0}};
    net.resistors = {
        {"wire a", supply, a, 1.0}, {"wire b", supply, b, 1.0}, {"load a", a, 0, 9.0}, {"load b", b, 0, 4.0}};
    return net;
}

double volts(const Netlist& net, const std::string& node) {
    const Solution s = solve(net);
    EXPECT_TRUE(s.ok()) << s.sentence();
    return s.voltages.at(static_cast<std::size_t>(net.at(node)));
}

// Analytic: dividers.
TEST(Edit, EachEditDoesWhatItSays) {
    const Netlist net = two_wires();
    EXPECT_NEAR(volts(net, "a"), 4.5, 1e-13);
    EXPECT_NEAR(volts(open(net, "wire a"), "a"), 5.0 * 9.0 / (1e9 + 9.0), 1e-16);
    EXPECT_NEAR(volts(add_series(net, "wire a", 8.0), "a"), 2.5, 1e-13);
    EXPECT_NEAR(volts(leak(net, "a", 9.0), "a"), 5.0 * 4.5 / 5.5, 1e-13);
    EXPECT_NEAR(volts(set_voltage(net, "source", 10.0), "a"), 9.0, 1e-13);
    EXPECT_NEAR(volts(connect(net, "a", "b", 0.0), "a"), volts(connect(net, "a", "b", 0.0), "b"), 1e-13);
    EXPECT_NEAR(volts(net, "a"), 4.5, 1e-13);  // the net itself is untouched
}

TEST(Edit, ExchangedWiresFeedEachOthersLoads) {
    Netlist net = two_wires();
    std::swap(net.resistors[0].a, net.resistors[0].b);  // a wire's first end is the one that moves
    std::swap(net.resistors[1].a, net.resistors[1].b);
    net.resistors[0].resistance = 3.0;
    const Netlist swapped = exchange(net, "wire a", "wire b");
    EXPECT_NEAR(volts(swapped, "a"), 4.5, 1e-13);
    EXPECT_NEAR(volts(swapped, "b"), 5.0 * 4.0 / 7.0, 1e-13);
    EXPECT_NEAR(volts(exchange(swapped, "wire b", "wire a"), "b"), 4.0, 1e-13);
}

TEST(Edit, TheSameShortTwiceIsTwoShorts) {
    const Netlist net = leak(leak(two_wires(), "a", 18.0), "a", 18.0);
    EXPECT_NEAR(volts(net, "a"), 5.0 * 4.5 / 5.5, 1e-13);
}

TEST(Edit, UnknownNamesAreAnsweredWithTheKnownOnes) {
    try {
        static_cast<void>(open(two_wires(), "wire c"));
        FAIL();
    } catch (const twintrack::InvalidParameter& e) {
        const std::string message = e.what();
        EXPECT_NE(message.find("'wire c'"), std::string::npos);
        EXPECT_NE(message.find("'wire b'"), std::string::npos);
    }
    EXPECT_THROW(static_cast<void>(leak(two_wires(), "nowhere", 1.0)), twintrack::InvalidParameter);
    EXPECT_THROW(static_cast<void>(leak(two_wires(), "a", -1.0)), twintrack::InvalidParameter);
    EXPECT_THROW(static_cast<void>(add_series(two_wires(), "wire a", std::nan(""))), twintrack::InvalidParameter);
    EXPECT_THROW(static_cast<void>(exchange(two_wires(), "wire a", "source")), twintrack::InvalidParameter);
}

}  // namespace
