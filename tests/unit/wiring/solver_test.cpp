// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/solver.hpp"

#include <gtest/gtest.h>

#include "laws.hpp"
#include "random_net.hpp"
#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack::wiring;
using twintrack::test::kirchhoff_error;
using twintrack::test::law_error;
using twintrack::test::random_net;

// Analytic: voltage divider, 9 V over 1 kΩ + 2 kΩ.
TEST(Solver, Divider) {
    Netlist net;
    const Node top = net.node("top"), tap = net.node("tap");
    net.voltage_sources = {{"source", top, 0, 9.0, 0.0}};
    net.resistors = {{"upper", top, tap, 1000.0}, {"lower", tap, 0, 2000.0}};
    const Solution s = solve(net);
    ASSERT_TRUE(s.ok()) << s.sentence();
    EXPECT_NEAR(s.voltages[static_cast<std::size_t>(tap)], 6.0, 1e-13);
    EXPECT_NEAR(s.resistors[0], 3e-3, 1e-16);
    EXPECT_NEAR(s.voltage_sources[0], -3e-3, 1e-16);
}

// Analytic: a wiper at 25 % of 1 kΩ, loaded with 10 kΩ, is the divider of its two part resistances with that load.
TEST(Solver, WiperIsTheDividerOfItsTrack) {
    Netlist net;
    const Node high = net.node("high"), out = net.node("out");
    net.voltage_sources = {{"source", high, 0, 5.0, 0.0}};
    net.resistors = {{"track", high, 0, 1000.0}, {"load", out, 0, 1e4}};
    net.ratio_sources = {{"wiper", out, 0, high, 0.25, 100.0, 1000.0}};
    const Solution s = solve(net);
    ASSERT_TRUE(s.ok()) << s.sentence();

    Netlist divider;
    const Node top = divider.node("top"), tap = divider.node("tap"), pin = divider.node("pin");
    divider.voltage_sources = {{"source", top, 0, 5.0, 0.0}};
    divider.resistors = {
        {"upper", top, tap, 750.0}, {"lower", tap, 0, 250.0}, {"contact", tap, pin, 100.0}, {"load", pin, 0, 1e4}};
    const Solution d = solve(divider);
    ASSERT_TRUE(d.ok());
    EXPECT_NEAR(s.voltages[static_cast<std::size_t>(out)], d.voltages[static_cast<std::size_t>(pin)], 1e-13);
    EXPECT_NEAR(s.voltage_sources[0], d.voltage_sources[0], 1e-15);
}

// Analytic: 10 V behind 1 kΩ into a clamp of 0.6 V and 10 Ω: i = (10 − 0.6)/1010 (its 1 GΩ leak aside).
TEST(Solver, ClampConductsAboveItsDropOnly) {
    Netlist net;
    const Node pin = net.node("pin");
    net.voltage_sources = {{"source", pin, 0, 10.0, 1000.0}};
    net.clamps = {{"clamp", pin, 0, 0.6, 10.0, 1e9}};
    Solution s = solve(net);
    ASSERT_TRUE(s.ok());
    EXPECT_NEAR(s.clamps[0], 9.4 / 1010.0, 1e-9);
    net.voltage_sources[0].voltage = -10.0;
    s = solve(net);
    ASSERT_TRUE(s.ok());
    EXPECT_NEAR(s.voltages[1], -10.0, 2e-5);
}

// Analytic: into a short the regulator delivers its limit, pulled up to 12 V it takes in its limit, else it regulates.
TEST(Solver, RegulatorHoldsItsLimits) {
    const Regulator regulator{"regulator", 1, 0, 5.0, 0.05, 0.05, 0.005, 1e5};
    Netlist net;
    static_cast<void>(net.node("reference"));
    net.regulators = {regulator};
    net.resistors = {{"load", 1, 0, 500.0}};
    Solution s = solve(net);
    ASSERT_TRUE(s.ok());
    EXPECT_NEAR(s.voltages[1], 5.0 * 500.0 / 500.05, 1e-12);
    net.resistors[0].resistance = 0.1;
    s = solve(net);
    ASSERT_TRUE(s.ok());
    EXPECT_NEAR(-s.regulators[0], 0.05 + 4.9925 / 1e5, 1e-6);
    net.resistors[0].resistance = 500.0;
    net.voltage_sources = {{"battery", 1, 0, 12.0, 0.1}};
    s = solve(net);
    ASSERT_TRUE(s.ok());
    EXPECT_NEAR(s.regulators[0], 0.005 + 7.0 / 1e5, 1e-6);
}

// Law: Kirchhoff's currents to 1e-12 of the largest, every element's own law to 1e-12, on every net.
TEST(Solver, KirchhoffAndEveryElementsLawOnRandomNets) {
    for (std::uint32_t seed = 1; seed <= 1000; ++seed) {
        const Netlist net = random_net(seed);
        const Solution s = solve(net);
        ASSERT_TRUE(s.ok()) << "net " << seed << ": " << s.sentence();
        EXPECT_LT(kirchhoff_error(net, s), 1e-12) << "net " << seed;
        EXPECT_LT(law_error(net, s), 1e-12) << "net " << seed;
    }
}

// Law: all resistances × 8 with all currents ÷ 8 leaves every voltage (8, a power of two: rounding aside, even the
// bits).
TEST(Solver, ScalingConductancesKeepsVoltages) {
    for (std::uint32_t seed = 1; seed <= 200; ++seed) {
        const Netlist net = random_net(seed);
        Netlist scaled = net;
        for (auto& e : scaled.resistors) e.resistance *= 8;
        for (auto& e : scaled.voltage_sources) e.resistance *= 8;
        for (auto& e : scaled.current_sources) e.current /= 8;
        for (auto& e : scaled.ratio_sources) e.resistance *= 8, e.track_resistance *= 8;
        for (auto& e : scaled.clamps) e.on_resistance *= 8, e.off_resistance *= 8;
        for (auto& e : scaled.regulators)
            e.resistance *= 8, e.limit_resistance *= 8, e.source_limit /= 8, e.sink_limit /= 8;
        const Solution a = solve(net), b = solve(scaled);
        ASSERT_TRUE(a.ok() && b.ok());
        for (std::size_t n = 0; n < net.nodes.size(); ++n)
            EXPECT_NEAR(a.voltages[n], b.voltages[n], 1e-9 * (1 + std::fabs(a.voltages[n]))) << "net " << seed;
    }
}

// Law: what a node is called and where it stands in the list changes nothing.
TEST(Solver, RenamingNodesKeepsVoltages) {
    for (std::uint32_t seed = 1; seed <= 200; ++seed) {
        const Netlist net = random_net(seed);
        const Node last = static_cast<Node>(net.nodes.size()) - 1;
        const auto turn = [&](Node& n) { n = n == 0 ? 0 : last + 1 - n; };
        Netlist turned = net;
        for (auto& e : turned.resistors) turn(e.a), turn(e.b);
        for (auto& e : turned.voltage_sources) turn(e.plus), turn(e.minus);
        for (auto& e : turned.current_sources) turn(e.from), turn(e.to);
        for (auto& e : turned.ratio_sources) turn(e.output), turn(e.low), turn(e.high);
        for (auto& e : turned.clamps) turn(e.anode), turn(e.cathode);
        for (auto& e : turned.regulators) turn(e.output), turn(e.ground);
        const Solution a = solve(net), b = solve(turned);
        ASSERT_TRUE(a.ok() && b.ok());
        for (Node n = 1; n <= last; ++n)
            EXPECT_NEAR(a.voltages[static_cast<std::size_t>(n)], b.voltages[static_cast<std::size_t>(last + 1 - n)],
                        1e-9)
                << "net " << seed;
    }
}

TEST(Solver, NamesFloatingNodes) {
    Netlist net;
    const Node a = net.node("a"), b = net.node("b"), c = net.node("c");
    net.resistors = {{"tied", a, 0, 1.0}, {"island", b, c, 1.0}};
    const Solution s = solve(net);
    EXPECT_EQ(s.status, NetStatus::floating);
    EXPECT_EQ(s.culprits, (std::vector<std::string>{"b", "c"}));
    EXPECT_TRUE(s.voltages.empty());
}

// Two supplies of a wiper that only its output ties: one equation for two nodes.
TEST(Solver, NamesNodesThatOnlyARatioHolds) {
    Netlist net;
    const Node out = net.node("out"), low = net.node("low"), high = net.node("high");
    net.resistors = {{"tied", out, 0, 1.0}};
    net.ratio_sources = {{"wiper", out, low, high, 0.5, 100.0, 0.0}};
    const Solution s = solve(net);
    EXPECT_EQ(s.status, NetStatus::floating);
    EXPECT_EQ(s.culprits, (std::vector<std::string>{"low", "high"}));
}

TEST(Solver, NamesALoopWithoutResistance) {
    Netlist net;
    const Node a = net.node("a"), b = net.node("b");
    net.voltage_sources = {{"five", a, 0, 5.0, 0.0}, {"six", a, 0, 6.0, 0.0}};
    net.resistors = {{"load", a, b, 10.0}, {"rest", b, 0, 10.0}};
    const Solution s = solve(net);
    EXPECT_EQ(s.status, NetStatus::singular);
    EXPECT_EQ(s.culprits, (std::vector<std::string>{"five", "six"}));
}

TEST(Solver, AnEmptyNetIsSolved) { EXPECT_TRUE(solve(Netlist{}).ok()); }

TEST(Solver, RefusesBadNets) {
    Netlist net;
    static_cast<void>(net.node("a"));
    net.resistors = {{"r", 1, 0, std::nan("")}};
    EXPECT_THROW(static_cast<void>(solve(net)), twintrack::InvalidParameter);
    net.resistors = {{"r", 1, 7, 1.0}};
    EXPECT_THROW(static_cast<void>(solve(net)), twintrack::InvalidParameter);
    net.resistors = {{"r", -1, 0, 1.0}};
    EXPECT_THROW(static_cast<void>(solve(net)), twintrack::InvalidParameter);
    net.resistors = {{"r", 1, 0, 1.0}, {"r", 1, 0, 2.0}};
    EXPECT_THROW(static_cast<void>(solve(net)), twintrack::InvalidParameter);
    net.resistors = {{"r", 1, 0, 1.0}};
    net.ratio_sources = {{"t", 1, 0, 0, 1.5, 1.0, 0.0}};
    EXPECT_THROW(static_cast<void>(solve(net)), twintrack::InvalidParameter);
}

}  // namespace
