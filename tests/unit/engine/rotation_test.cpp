// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/rotation.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"
#include "twintrack/core/angle.hpp"

namespace {

using namespace twintrack::engine;

// Analytic: mean effective pressure f is the torque f V_d/(4π).
TEST(Rotation, FrictionFromMeanEffectivePressure) {
    const auto c =
        rotation_coefficients({.friction_constant = 5e4, .friction_linear = 100.0, .friction_quadratic = 0.5}, 2e-3);
    EXPECT_NEAR(friction_torque(c, 200.0, 1.0), (5e4 + 2e4 + 2e4) * 2e-3 / (4.0 * twintrack::pi), 1e-12);
    EXPECT_NEAR(friction_torque(c, 200.0, 1.7) / friction_torque(c, 200.0, 1.0), 1.7, 1e-14);
}

TEST(Rotation, ColdOilIsStiffer) {
    const RotationParameters p{.cold_friction = 1.2, .warm_temperature = 85.0};
    EXPECT_DOUBLE_EQ(cold_factor(p, 85.0), 1.0);
    EXPECT_DOUBLE_EQ(cold_factor(p, 110.0), 1.0);
    EXPECT_DOUBLE_EQ(cold_factor(p, -15.0), 2.2);
}

// Analytic: above its speed the generator takes P/η; below it less, and nothing at standstill.
TEST(Rotation, GeneratorPower) {
    const auto c = rotation_coefficients({.generator_efficiency = 0.5, .generator_speed = 60.0}, 1.5e-3);
    EXPECT_NEAR(generator_torque(c, 300.0, 120.0) * 120.0, 600.0, 1e-10);
    EXPECT_NEAR(generator_torque(c, 300.0, 60.0) * 60.0, 600.0, 1e-10);
    EXPECT_NEAR(generator_torque(c, 300.0, 30.0) * 30.0, 150.0, 1e-10);
    EXPECT_EQ(generator_torque(c, 300.0, 0.0), 0.0);
}

TEST(Rotation, TheStarterNeverBrakes) {
    const auto c = rotation_coefficients({.starter_torque = 100.0, .starter_speed = 30.0}, 1.5e-3);
    EXPECT_DOUBLE_EQ(starter_torque(c, 0.0), 100.0);
    EXPECT_DOUBLE_EQ(starter_torque(c, 15.0), 50.0);
    EXPECT_EQ(starter_torque(c, 80.0), 0.0);
}

TEST(Rotation, FrictionDiesAtStandstill) {
    EXPECT_EQ(turning(0.0), 0.0);
    EXPECT_NEAR(turning(70.0), 1.0, 0.01);
    EXPECT_DOUBLE_EQ(turning(-3.0), -turning(3.0));
}

TEST(Rotation, EveryFieldIsGuarded) { support::expect_every_field_guarded<RotationParameters>(); }

TEST(Rotation, RefusesSpeedsInTheWrongOrder) {
    support::expect_refused<RotationParameters>("part.stall_speed", [](auto& p) { p.stall_speed = p.release_speed; });
    support::expect_refused<RotationParameters>("part.starter_speed", [](auto& p) { p.starter_speed = 15.0; });
}

}  // namespace
