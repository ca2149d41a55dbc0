// SPDX-License-Identifier: BSD-3-Clause
// Analytic, from the equations of the header.
#include "twintrack/plant/backlash.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "twintrack/bench/exact_engine.hpp"

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

/// The motor alone crosses the play in √(2 b J_m / M) while the blade stands on its springs.
TEST(Backlash, TheMotorCrossesThePlayAlone) {
    BodyMechanics b;
    b.motor = {.resistance = 10.0, .inductance = 1e-4, .constant = 0.01, .temperature = 20.0, .gear_ratio = 10.0};
    b.motor.brush_drop = 0.0;
    b.backlash = gear;
    bench::ExactEngine exact(coefficients(b), {.relative_tolerance = 1e-8, .absolute_tolerance = 1e-9}, b.backlash);
    State<double> x{0.0, default_angle(b), 0.0, 0.0};
    Drive<double> d;
    d.terminal = {10.0, 0.0, 100.0, BridgeMode::drive};
    const double rest = x.angle, torque = 0.1 * 10.0 / 10.0;  // less than what the springs' preload withstands
    const double time = std::sqrt(2.0 * 0.01 * 0.7 * b.inertia / torque);  // from the middle to a flank
    ASSERT_FALSE(exact.advance(x, d, 0.9 * time));
    EXPECT_NEAR(x.angle, rest, 1e-9) << "nothing touches the blade yet";
    ASSERT_FALSE(exact.advance(x, d, 0.2 * time));
    EXPECT_GT(x.angle, rest + 1e-9);
}

TEST(Backlash, KeepsNoLedger) {
    BodyMechanics b;
    b.backlash = gear;
    bench::ExactEngine exact(coefficients(b), {}, b.backlash);
    State<double> x{};
    bench::EnergyLedger ledger;
    const auto failure = exact.advance(x, {}, 1e-3, &ledger);
    ASSERT_TRUE(failure.has_value());
    EXPECT_NE(failure->find("backlash"), std::string::npos);
}

}  // namespace
