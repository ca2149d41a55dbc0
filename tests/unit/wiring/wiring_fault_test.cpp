// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/wiring_fault.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <set>

#include "circuit_simulator.hpp"
#include "laws.hpp"
#include "pairs.hpp"
#include "twintrack/wiring/harness.hpp"

namespace {

using namespace twintrack::wiring;
using twintrack::test::NamedNet;
using twintrack::test::Pair;
using twintrack::test::pairs;

/// The pair's net with its tracks somewhere and the motor driven.
Netlist driven(const Pair& pair) {
    Netlist net = harness_net(pair.pedal, pair.body, {}, {}, correct_pin_out(pair.pedal, pair.body));
    double ratio = 0.2;
    for (auto& e : net.ratio_sources) e.ratio = ratio, ratio = ratio > 0.7 ? 0.15 : ratio + 0.17;
    net.ratio_sources[net.ratio_sources.size() - 2].ratio = 0.6;  // the legs
    net.ratio_sources[net.ratio_sources.size() - 1].ratio = 0.0;
    net.current_sources[0].current = 1.5;
    return net;
}

/// A motor with an open lead carries no current.
Netlist damaged(const Netlist& net, const WiringFault& fault) {
    Netlist result = apply(net, fault);
    if (fault.kind == WiringFaultKind::open && fault.where.rfind("motor", 0) == 0)
        result.current_sources[0].current = 0.0;
    return result;
}

std::vector<NamedNet> all_nets(const Pair& pair) {
    const Netlist healthy = driven(pair);
    std::vector<NamedNet> all = {{pair.name + ", healthy", healthy}};
    for (const WiringFault& f : every_single_fault(pair.pedal, pair.body))
        all.push_back({pair.name + ", " + sentence(f), damaged(healthy, f)});
    return all;
}

// General-purpose library beside ours: ngspice on each pair of connector families, healthy and with every single fault.
TEST(WiringFault, ACircuitSimulatorAgreesOnEverySingleFault) {
    std::size_t nets = 0, started_warm = 0;
    for (const Pair& pair : pairs()) {
        const auto all = all_nets(pair);
        nets += all.size();
        started_warm += twintrack::test::expect_same_voltages(all);
    }
    RecordProperty("nets", static_cast<int>(nets));
    RecordProperty("started_warm", static_cast<int>(started_warm));
    EXPECT_LT(started_warm, nets / 10);
}

// Law: Kirchhoff and every element on the same nets.
TEST(WiringFault, KirchhoffHoldsWithEverySingleFault) {
    for (const Pair& pair : pairs()) {
        for (const NamedNet& n : all_nets(pair)) {
            const Solution s = solve(n.net);
            ASSERT_TRUE(s.ok()) << n.name << ": " << s.sentence();
            EXPECT_LT(twintrack::test::kirchhoff_error(n.net, s), 1e-12) << n.name;
            EXPECT_LT(twintrack::test::law_error(n.net, s), 1e-12) << n.name;
        }
    }
}

// Law: the harness, reduced, reads at its pins what the whole net has there, with every single fault.
TEST(WiringFault, TheReducedHarnessAgreesWithTheWholeNet) {
    for (const Pair& pair : pairs()) {
        Harness harness(pair.pedal, pair.body);
        for (const WiringFault& f : every_single_fault(pair.pedal, pair.body)) {
            harness.rewire(apply(harness.healthy(), f));
            HarnessInput in;
            in.mode = twintrack::plant::BridgeMode::drive;
            in.duty = 0.6;
            in.pedal = {0.2, 0.37, 0.54};
            in.throttle = {0.71, 0.15, 0.32};
            in.motor_current = 1.5;
            const HarnessOutput out = harness.connect(in);
            ASSERT_EQ(out.status, NetStatus::ok) << pair.name << ", " << sentence(f);
            Netlist net = damaged(harness.healthy(), f);
            const std::size_t pedal_tracks = pair.pedal.tracks.size(), tracks = pedal_tracks + pair.body.tracks.size();
            for (std::size_t k = 0; k < tracks; ++k)
                net.ratio_sources[k].ratio = k < pedal_tracks ? in.pedal[k] : in.throttle[k - pedal_tracks];
            net.ratio_sources[tracks].ratio = 0.6;
            const bool driven_motor = out.ends.motor.mode != twintrack::plant::BridgeMode::high_impedance;
            if (driven_motor) net.current_sources[0].current = 1.5;
            const Solution s = solve(net);
            ASSERT_TRUE(s.ok());
            const auto v = [&](const std::string& node) { return s.voltages[static_cast<std::size_t>(net.at(node))]; };
            for (std::size_t k = 0; k < pair.body.tracks.size(); ++k)
                EXPECT_NEAR(out.ends.throttle[k],
                            v("converter throttle signal " + std::to_string(k + 1)) - v("controller ground"), 1e-7)
                    << pair.name << ", " << sentence(f);
            if (driven_motor) {
                EXPECT_NEAR(out.ends.motor.voltage - 1.5 * out.ends.motor.resistance, v("motor +") - v("motor -"), 1e-6)
                    << pair.name << ", " << sentence(f);
            }
        }
    }
}

TEST(WiringFault, EveryFaultIsThereOnceAndChangesTheNet) {
    const Pair pair = pairs()[0];
    const auto faults = every_single_fault(pair.pedal, pair.body);
    std::set<std::string> sentences;
    for (const WiringFault& f : faults) sentences.insert(sentence(f));
    EXPECT_EQ(sentences.size(), faults.size());
    // 12 terminals with five faults each; 15 pairs in either connector, shorted or exchanged; six of the power wires;
    // two for each regulator.
    EXPECT_EQ(faults.size(), 12U * 5 + 2 * 2 * 15 + 6 + 2 * 2);
}

TEST(WiringFault, ARegulatorsOffsetIsThatOfWhatItFeeds) {
    const Pair pair = pairs()[0];
    const Netlist healthy = driven(pair);
    const Netlist low = apply(healthy, {WiringFaultKind::regulator_offset, "pedal regulator", "", -1.0});
    const auto volts = [](const Netlist& net, const char* pin) {
        return solve(net).voltages[static_cast<std::size_t>(net.at(pin))];
    };
    const char *pedal = "pin pedal reference 1", *throttle = "pin throttle reference 1";
    EXPECT_NEAR(volts(healthy, pedal) - volts(low, pedal), 1.0, 1e-3) << "less the smaller drop in its resistance";
    EXPECT_NEAR(volts(healthy, throttle), volts(low, throttle), 1e-6) << "the other assembly has its own";
}

TEST(WiringFault, UnknownPlacesAreErrors) {
    const Pair pair = pairs()[0];
    const Netlist net = driven(pair);
    using K = WiringFaultKind;
    for (const WiringFault& f :
         {WiringFault{K::open, "pedal signal 7", "", 0}, WiringFault{K::leak, "nowhere", "", 1},
          WiringFault{K::exchange, "motor +", "motor", 0}, WiringFault{K::series, "motor +", "", -1},
          WiringFault{K::regulator_offset, "regulator", "", 1}})
        EXPECT_THROW(static_cast<void>(apply(net, f)), twintrack::InvalidParameter);
}

}  // namespace
