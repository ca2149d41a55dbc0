// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/spring.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::plant;

constexpr SpringParameters parts{.rest_angle = 0.1,
                                 .open_preload = 0.3,
                                 .open_rate = 0.06,
                                 .close_preload = 0.2,
                                 .close_rate = 0.08,
                                 .width = 0.004};

// Analytic: preload plus rate on each side, the preload built up linearly over the width.
TEST(Spring, PullsTowardTheDefaultPositionFromBothSides) {
    const auto c = spring_coefficients(parts);
    EXPECT_NEAR(spring_torque(c, 1.1), -(0.3 + 0.06 * 1.0), 1e-15);
    EXPECT_NEAR(spring_torque(c, 0.0), 0.2 + 0.08 * 0.1, 1e-15);
    EXPECT_DOUBLE_EQ(spring_torque(c, 0.1), 0.0);
    EXPECT_NEAR(spring_torque(c, 0.102), -(0.15 + 0.06 * 0.002), 1e-14);
    EXPECT_NEAR(spring_torque(c, 0.098), 0.1 + 0.08 * 0.002, 1e-14);
}

TEST(Spring, ABrokenSpringLeavesTheOther) {
    auto c = spring_coefficients(parts);
    c.open_preload = c.open_rate = 0.0;
    EXPECT_DOUBLE_EQ(spring_torque(c, 1.0), 0.0);
    EXPECT_GT(spring_torque(c, 0.0), 0.0);
}

TEST(Spring, PotentialIsTheAreaUnderTheTorque) {
    const auto c = spring_coefficients(parts);
    EXPECT_DOUBLE_EQ(spring_potential(c, 0.1), 0.0);
    EXPECT_NEAR(spring_potential(c, 1.1), 0.3 * (1.0 - 0.004 / 2) + 0.06 / 2, 1e-15);
    EXPECT_NEAR(spring_potential(c, 0.0), 0.2 * (0.1 - 0.004 / 2) + 0.08 * 0.01 / 2, 1e-15);
}

TEST(Spring, EveryFieldIsGuarded) { support::expect_every_field_guarded<SpringParameters>(); }

}  // namespace
