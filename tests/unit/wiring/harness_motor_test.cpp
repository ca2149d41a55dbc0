// SPDX-License-Identifier: BSD-3-Clause
// The motor's part of the harness where a fault leads it astray.
#include <gtest/gtest.h>

#include "pairs.hpp"
#include "twintrack/wiring/edit.hpp"
#include "twintrack/wiring/harness.hpp"

namespace {

using namespace twintrack::wiring;
using twintrack::plant::BridgeMode;
using twintrack::test::Pair;
using twintrack::test::pairs;

HarnessInput driven() {
    HarnessInput in;
    in.pedal = {0.3, 0.15, 0.7};
    in.throttle = {0.25, 0.75, 0.4};
    in.mode = BridgeMode::drive;
    in.duty = 0.4;
    in.motor_current = 2.0;
    return in;
}

// A sensor's regulator limits its current long before a blade would move: that is no way to drive a motor.
TEST(Harness, AMotorOnASensorsSupplyIsNotDriven) {
    const Pair pair = pairs()[0];
    Harness harness(pair.pedal, pair.body);
    harness.rewire(exchange(harness.healthy(), "wire motor +", "wire throttle reference"));
    HarnessInput in = driven();
    for (const double current : {0.0, 2.0, -2.0}) {
        in.motor_current = current;
        EXPECT_EQ(harness.connect(in).ends.motor.mode, BridgeMode::high_impedance) << current;
    }
}

// Law: what the bridge sends out is what the motor takes and the pin's resistor to ground.
TEST(Harness, MeasuresTheCurrentOfTheMotorPin) {
    const Pair pair = pairs()[0];
    Harness harness(pair.pedal, pair.body);
    HarnessInput in = driven();
    EXPECT_NEAR(harness.connect(in).motor_current, in.motor_current, 2e-3);
    harness.rewire(exchange(harness.healthy(), "wire motor +", "wire motor -"));
    EXPECT_NEAR(harness.connect(in).motor_current, -in.motor_current, 2e-3);
}

}  // namespace
