// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/reduction.hpp"

#include <gtest/gtest.h>

#include "random_net.hpp"
#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack::wiring;
using twintrack::test::random_net;
using twintrack::test::Uniform;

Ports all_ports(const Netlist& net) {
    Ports ports{{{"source 0", "regulator 0"}, {"regulator 1"}, {"drain 0"}}, {}};
    for (std::size_t n = 1; n < net.nodes.size(); ++n)
        ports.probes.push_back({static_cast<Node>(n), static_cast<Node>(n / 2)});
    return ports;
}

// What is kept from the evaluation before changes no bit, and what is not wanted is left as it was.
TEST(Reduction, KeepsWhatDidNotChange) {
    for (std::uint32_t seed = 1; seed <= 100; ++seed) {
        const Netlist net = random_net(seed);
        const Ports ports = all_ports(net);
        ReducedNet kept(net, ports);
        Uniform u(seed + 9000);
        std::vector<double> ratios(net.ratio_sources.size(), 0.5);
        for (int tick = 0; tick < 10; ++tick) {
            const std::vector<double> inputs = {u(0, 8), u(0, 8), u(-0.05, 0.05)};
            for (std::size_t k = static_cast<std::size_t>(tick) % (ratios.size() + 1); k < ratios.size(); ++k)
                ratios[k] = u(0, 1);
            const std::vector<double> before(kept.probes().begin(), kept.probes().end());
            const std::size_t wanted = tick % 2 == 0 ? ReducedNet::all : 2;
            ASSERT_EQ(kept.evaluate(inputs, ratios, wanted), NetStatus::ok) << "net " << seed;
            ReducedNet fresh(net, ports);
            ASSERT_EQ(fresh.evaluate(inputs, ratios), NetStatus::ok);
            for (std::size_t k = 0; k < ports.probes.size(); ++k)
                ASSERT_EQ(kept.probes()[k], k < wanted ? fresh.probes()[k] : before[k]) << "net " << seed;
            for (std::size_t k = 0; k < ratios.size(); ++k) ASSERT_EQ(kept.current(k), fresh.current(k));
            for (std::size_t k = 0; k < 2; ++k) ASSERT_EQ(kept.slope(k, 2), fresh.slope(k, 2));
        }
    }
}

// Law: the reduced net says what the whole net says, at every tick of changing inputs and ratios.
TEST(Reduction, AgreesWithTheWholeNet) {
    for (std::uint32_t seed = 1; seed <= 200; ++seed) {
        Netlist net = random_net(seed);
        const Ports ports = all_ports(net);
        ReducedNet reduced(net, ports);
        Uniform u(seed + 5000);
        for (int tick = 0; tick < 10; ++tick) {
            const std::vector<double> inputs = {u(0, 8), u(0, 8), u(-0.05, 0.05)};
            std::vector<double> ratios;
            for (auto& e : net.ratio_sources) ratios.push_back(e.ratio = u(0, 1));
            net.voltage_sources[0].voltage = net.regulators[0].voltage = inputs[0];
            net.regulators[1].voltage = inputs[1];
            net.current_sources[0].current = inputs[2];
            ASSERT_EQ(reduced.evaluate(inputs, ratios), NetStatus::ok) << "net " << seed;
            const Solution whole = solve(net);
            ASSERT_TRUE(whole.ok());
            double largest = 1.0;
            for (const double v : whole.voltages) largest = std::max(largest, std::fabs(v));
            for (std::size_t p = 0; p < ports.probes.size(); ++p) {
                const auto v = [&](Node n) { return whole.voltages[static_cast<std::size_t>(n)]; };
                EXPECT_NEAR(reduced.probes()[p], v(ports.probes[p].plus) - v(ports.probes[p].minus), 2e-9 * largest)
                    << "net " << seed << ", tick " << tick;
            }
        }
    }
}

// A law that was made for one net must not be taken for another that differs in a single number.
TEST(Reduction, EveryNumberOfANetCounts) {
    const Netlist first = random_net(3);
    const Ports ports = all_ports(first);
    const std::vector<double> inputs = {5.0, 5.0, 0.01};
    std::vector<double> ratios;
    for (const auto& e : first.ratio_sources) ratios.push_back(e.ratio);
    int changes = 0;
    const auto expect_its_own = [&](Netlist net) {
        ReducedNet reduced(net, ports), again(net, ports);
        ASSERT_EQ(reduced.evaluate(inputs, ratios), NetStatus::ok);
        ASSERT_EQ(again.evaluate(inputs, ratios), NetStatus::ok);
        net.voltage_sources[0].voltage = net.regulators[0].voltage = inputs[0];
        net.regulators[1].voltage = inputs[1];
        net.current_sources[0].current = inputs[2];
        const Solution whole = solve(net);
        ASSERT_TRUE(whole.ok());
        for (std::size_t p = 0; p < ports.probes.size(); ++p) {
            const auto v = [&](Node n) { return whole.voltages[static_cast<std::size_t>(n)]; };
            const double expected = v(ports.probes[p].plus) - v(ports.probes[p].minus);
            EXPECT_NEAR(reduced.probes()[p], expected, 1e-8 * std::max(1.0, std::fabs(expected)));
            EXPECT_EQ(reduced.probes()[p], again.probes()[p]) << "made and remembered";
        }
        ++changes;
    };
    expect_its_own(first);
    const auto change = [&](auto list, auto number) {
        for (std::size_t k = 0; k < (first.*list).size(); ++k) {
            Netlist net = first;
            (net.*list)[k].*number *= 1.25;
            expect_its_own(net);
        }
    };
    change(&Netlist::resistors, &Resistor::resistance);
    change(&Netlist::voltage_sources, &VoltageSource::voltage);
    change(&Netlist::voltage_sources, &VoltageSource::resistance);
    change(&Netlist::current_sources, &CurrentSource::current);
    change(&Netlist::ratio_sources, &RatioSource::resistance);
    change(&Netlist::clamps, &Clamp::drop);
    change(&Netlist::clamps, &Clamp::on_resistance);
    change(&Netlist::regulators, &Regulator::resistance);
    change(&Netlist::regulators, &Regulator::source_limit);
    EXPECT_GT(changes, 20);
}

// Analytic: 10 V behind 3 Ω ∥ 6 Ω; the current input draws from the port, so the slope is −(3 ∥ 6) = −2 Ω.
TEST(Reduction, SlopeIsTheTheveninResistance) {
    Netlist net;
    const Node port = net.node("port"), high = net.node("high");
    net.voltage_sources = {{"source", high, 0, 10.0, 0.0}};
    net.resistors = {{"load", port, 0, 6.0}};
    net.ratio_sources = {{"leg", port, 0, high, 1.0, 3.0, 0.0}};
    net.current_sources = {{"draw", port, 0, 0.0}};
    ReducedNet reduced(net, {{{"draw"}}, {{port, 0}}});
    const double draw = 0.5, ratio = 1.0;
    ASSERT_EQ(reduced.evaluate({&draw, 1}, {&ratio, 1}), NetStatus::ok);
    EXPECT_NEAR(reduced.slope(0, 0), -2.0, 1e-12);
    EXPECT_NEAR(reduced.probes()[0], 10.0 * 6.0 / 9.0 - 1.0, 1e-12);
    reduced.set_resistance(0, 6.0);
    ASSERT_EQ(reduced.evaluate({&draw, 1}, {&ratio, 1}), NetStatus::ok);
    EXPECT_NEAR(reduced.slope(0, 0), -3.0, 1e-12);
}

TEST(Reduction, SaysWhatFloatsWithoutItsRatioSources) {
    Netlist net;
    const Node out = net.node("out"), high = net.node("high");
    net.voltage_sources = {{"source", high, 0, 5.0, 0.0}};
    net.ratio_sources = {{"track", out, 0, high, 0.5, 100.0, 0.0}};
    ReducedNet reduced(net, {{{"source"}}, {{out, 0}}});
    EXPECT_EQ(reduced.status(), NetStatus::floating);
    EXPECT_EQ(reduced.culprits(), std::vector<std::string>{"out"});
    const double five = 5.0, half = 0.5;
    EXPECT_EQ(reduced.evaluate({&five, 1}, {&half, 1}), NetStatus::floating);
}

TEST(Reduction, RefusesUnknownSourcesAndNodes) {
    const Netlist net = random_net(1);
    EXPECT_THROW(ReducedNet(net, {{{"nothing"}}, {}}), twintrack::InvalidParameter);
    EXPECT_THROW(ReducedNet(net, {{{"source 0"}, {"source 0"}}, {}}), twintrack::InvalidParameter);
    EXPECT_THROW(ReducedNet(net, {{}, {{999, 0}}}), twintrack::InvalidParameter);
    ReducedNet reduced(net, {{{"source 0"}}, {}});
    const double one = 1.0, bad = std::nan("");
    const std::vector<double> ratios(net.ratio_sources.size(), 0.5), bad_ratios(net.ratio_sources.size(), bad);
    EXPECT_THROW(reduced.evaluate({}, ratios), twintrack::InvalidParameter);
    EXPECT_THROW(reduced.evaluate({&one, 1}, {&one, 1}), twintrack::InvalidParameter);
    EXPECT_THROW(reduced.evaluate({&bad, 1}, ratios), twintrack::InvalidParameter);
    EXPECT_THROW(reduced.evaluate({&one, 1}, bad_ratios), twintrack::InvalidParameter);
}

}  // namespace
