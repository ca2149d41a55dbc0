// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/bridge.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::plant;

constexpr BridgeParameters parts{
    .switch_resistance = 0.02, .supply_resistance = 0.03, .diode_drop = 0.7, .current_limit = 10.0};

// Analytic: the averaged bridge of the header, by hand.
TEST(Bridge, DriveIsASourceBehindTheSwitchesAndTheShareOfTheSupply) {
    const auto t = terminal(parts, BridgeMode::drive, 0.5, 12.0);
    EXPECT_DOUBLE_EQ(motor_voltage(t, 0.0), 6.0);
    EXPECT_DOUBLE_EQ(motor_voltage(t, 4.0), 6.0 - 4.0 * (0.04 + 0.25 * 0.03));
    const auto reverse = terminal(parts, BridgeMode::drive, -0.5, 12.0);
    EXPECT_DOUBLE_EQ(motor_voltage(reverse, -4.0), -motor_voltage(t, 4.0));
}

TEST(Bridge, DutyIsHeldToOne) {
    EXPECT_DOUBLE_EQ(terminal(parts, BridgeMode::drive, 3.0, 12.0).voltage, 12.0);
    EXPECT_DOUBLE_EQ(terminal(parts, BridgeMode::drive, -3.0, 12.0).voltage, -12.0);
}

TEST(Bridge, StopsPushingAboveTheCurrentLimitButStillBrakes) {
    const auto t = terminal(parts, BridgeMode::drive, 1.0, 12.0);
    EXPECT_DOUBLE_EQ(motor_voltage(t, 10.0), 12.0 - 10.0 * 0.07);     // not yet fading at the limit
    EXPECT_NEAR(motor_voltage(t, 10.25), 6.0 - 10.25 * 0.07, 1e-12);  // half way through the fade
    EXPECT_DOUBLE_EQ(motor_voltage(t, 10.5), -10.5 * 0.07);           // nothing left
    EXPECT_DOUBLE_EQ(motor_voltage(t, -12.0), 12.0 + 12.0 * 0.07);    // opposing the current: unlimited
}

TEST(Bridge, BrakeShortsTheMotorThroughTwoSwitches) {
    const auto t = terminal(parts, BridgeMode::brake, 1.0, 12.0);
    EXPECT_DOUBLE_EQ(motor_voltage(t, 5.0), -0.2);
    EXPECT_DOUBLE_EQ(motor_voltage(t, -5.0), 0.2);
}

TEST(Bridge, HighImpedanceOpposesTheCurrentWithSupplyAndTwoDiodes) {
    const auto t = terminal(parts, BridgeMode::high_impedance, 1.0, 12.0);
    EXPECT_DOUBLE_EQ(motor_voltage(t, 2.0), -13.4);
    EXPECT_DOUBLE_EQ(motor_voltage(t, -2.0), 13.4);
}

TEST(Bridge, EveryFieldIsGuarded) { support::expect_every_field_guarded<BridgeParameters>(); }

}  // namespace
