// SPDX-License-Identifier: BSD-3-Clause
// Analytic, from the equations of the header.
#include "twintrack/plant/backlash.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::plant;

constexpr BacklashParameters gear{.play = 0.02, .motor_share = 0.7, .stiffness = 1000.0, .dissipation = 0.5};

TEST(Backlash, TheTeethPushAndNeverPull) {
    EXPECT_EQ(tooth_torque(gear, 0.0, 5.0), 0.0);
    EXPECT_EQ(tooth_torque(gear, 0.01, 5.0), 0.0);
    EXPECT_EQ(tooth_torque(gear, -0.01, -5.0), 0.0);
    EXPECT_NEAR(tooth_torque(gear, 0.012, 0.0), 2.0, 1e-9);
    EXPECT_NEAR(tooth_torque(gear, -0.012, 0.0), -2.0, 1e-9);
    EXPECT_NEAR(tooth_torque(gear, 0.012, 1.0), 3.0, 1e-9) << "pressed together";
    EXPECT_NEAR(tooth_torque(gear, 0.012, -1.0), 1.0, 1e-9) << "parting";
    EXPECT_EQ(tooth_torque(gear, 0.012, -9.0), 0.0) << "no glue";
    EXPECT_NEAR(tooth_torque(gear, -0.012, -1.0), -3.0, 1e-9);
}

TEST(Backlash, IsPassive) {
    for (double ahead = -0.02; ahead < 0.021; ahead += 0.001)
        for (double rate = -8.0; rate < 8.1; rate += 0.5)
            EXPECT_GE((tooth_torque(gear, ahead, rate) - tooth_torque(gear, ahead, 0.0)) * rate, -1e-12);
}

}  // namespace
