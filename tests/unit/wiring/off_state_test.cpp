// SPDX-License-Identifier: BSD-3-Clause
// The test of an open bridge, and the currents of its two pins. By hand: with R from each pin to ground, as much from
// half of the supply into "motor +", both pins stand at U/2 · (R/2)/(R + R/2) = U/6; open, one at U/4, the other at 0.
#include <gtest/gtest.h>

#include "pairs.hpp"
#include "twintrack/wiring/edit.hpp"
#include "twintrack/wiring/harness.hpp"

namespace {

using namespace twintrack::wiring;
using twintrack::plant::BridgeFault;
using twintrack::plant::BridgeMode;
using twintrack::test::pairs;

BridgeFault found(const Netlist& net, double supply = 13.5) {
    Harness harness(pairs()[0].pedal, pairs()[0].body);
    harness.rewire(net);
    return harness.off_state({.supply = supply, .pedal = {0.3, 0.15, 0.7}, .throttle = {0.25, 0.75, 0.4}});
}

TEST(OffState, EachFindingAndNone) {
    for (const auto& pair : pairs()) {
        const Harness harness(pair.pedal, pair.body);
        const Netlist& net = harness.healthy();
        const auto test = [&](const Netlist& edited) {
            Harness wired(pair.pedal, pair.body);
            wired.rewire(edited);
            return wired.off_state({.supply = 13.5, .pedal = {0.3, 0.15, 0.7}, .throttle = {0.25, 0.75, 0.4}});
        };
        EXPECT_EQ(test(net), BridgeFault::none);
        for (const char* lead : {"motor +", "motor -"}) {
            EXPECT_EQ(test(open(net, std::string("wire ") + lead)), BridgeFault::open_load) << lead;
            EXPECT_EQ(test(leak(net, lead, 0.05)), BridgeFault::short_to_ground) << lead;
            EXPECT_EQ(test(connect(net, lead, "battery", 0.05)), BridgeFault::short_to_battery) << lead;
        }
        EXPECT_EQ(test(exchange(net, "wire motor +", "wire motor -")), BridgeFault::none) << "as good as any";
    }
}

// By hand: a leak R_l beside the two 10 kΩ leaves U/2 · p/(10 kΩ + p), p = 5 kΩ ∥ R_l: 0.06 U at p = 1.36 kΩ, R_l
// = 1.88 kΩ.
TEST(OffState, ALeakIsAShortBelowAThird) {
    const Netlist net = Harness(pairs()[0].pedal, pairs()[0].body).healthy();
    EXPECT_EQ(found(leak(net, "motor +", 1.8e3)), BridgeFault::short_to_ground);
    EXPECT_EQ(found(leak(net, "motor +", 2.0e3)), BridgeFault::none);
    EXPECT_EQ(found(add_series(net, "wire motor +", 1e3)), BridgeFault::none);
    EXPECT_EQ(found(leak(net, "motor +", 0.05), 0.5), BridgeFault::none) << "no supply, no finding";
}

// Law: asking changes nothing.
TEST(OffState, LeavesTheHarnessAsItIs) {
    Harness asked(pairs()[0].pedal, pairs()[0].body), left(pairs()[0].pedal, pairs()[0].body);
    HarnessInput in{.pedal = {0.3, 0.15, 0.7}, .throttle = {0.25, 0.75, 0.4}, .mode = BridgeMode::drive, .duty = 0.4};
    in.motor_current = 2.0;
    (void)asked.connect(in);
    (void)asked.off_state(in);
    const HarnessOutput a = asked.connect(in), b = left.connect(in);
    EXPECT_EQ(a.ends.pedal, b.ends.pedal);
    EXPECT_EQ(a.supply, b.supply);
    EXPECT_EQ(a.ends.motor.voltage, b.ends.motor.voltage);
}

// Law: what leaves one pin comes back by the other, but for the pins' resistors to ground.
TEST(Legs, CarryTheMotorsCurrent) {
    Harness harness(pairs()[0].pedal, pairs()[0].body);
    HarnessInput in{.pedal = {0.3, 0.15, 0.7}, .throttle = {0.25, 0.75, 0.4}, .mode = BridgeMode::drive, .duty = 0.4};
    for (const double current : {-3.0, 0.0, 3.0}) {
        in.motor_current = current;
        (void)harness.drive(in);
        EXPECT_NEAR(harness.legs().plus, current, 2e-3);
        EXPECT_NEAR(harness.legs().minus, -current, 2e-3);
        EXPECT_EQ(harness.legs().motor, current);
    }
}

}  // namespace
