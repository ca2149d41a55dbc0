// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/friction.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::plant;

constexpr FrictionParameters parts{.coulomb = 0.2,
                                   .breakaway = 0.3,
                                   .stribeck_speed = 0.5,
                                   .viscous = 0.01,
                                   .bristle_stiffness = 200.0,
                                   .bristle_damping = 0.4};

// Analytic: at rest the bristle is a spring; at its limit in steady sliding it no longer moves and M = g + σ₂ω.
TEST(Friction, AtRestItIsASpring) {
    const auto f = friction(friction_coefficients(parts), 0.0, 5e-4, 0.0);
    EXPECT_DOUBLE_EQ(f.torque, 0.1);
    EXPECT_DOUBLE_EQ(f.bristle_rate, 0.0);
}

TEST(Friction, SteadySlidingIsTheStribeckCurve) {
    const auto c = friction_coefficients(parts);
    for (const double speed : {-20.0, -0.5, -0.01, 0.01, 0.5, 20.0}) {
        const double g = 0.2 + 0.1 * std::exp(-(speed / 0.5) * (speed / 0.5));
        const auto f = friction(c, speed, std::copysign(g / 200.0, speed), 0.0);
        EXPECT_NEAR(f.bristle_rate, 0.0, 1e-12 * std::abs(speed));
        EXPECT_NEAR(f.torque, std::copysign(g, speed) + 0.01 * speed, 1e-12);
    }
}

TEST(Friction, BothModelsShareTheSteadyCurve) {
    FrictionParameters simple = parts;
    simple.kind = FrictionKind::simple;
    const double speed = 0.7;  // far above the smoothing speed 0.01: 1/√(1 + 0.01²/0.7²) = 1 − 1.0e-4
    const auto c = friction_coefficients(parts);
    const double g = friction_level(c, speed, 0.0);
    EXPECT_NEAR(friction(friction_coefficients(simple), speed, 0.0, 0.0).torque,
                friction(c, speed, g / 200.0, 0.0).torque, 1.1e-4 * g);
}

TEST(Friction, DampingOfTheBristleFadesWithSpeed) {
    const auto c = friction_coefficients(parts);
    const double speed = 1e4;  // g = 0.2: σ₁' = 0.4·0.8/(0.8 + 0.4e4)
    const double faded = 0.4 * 0.8 / (0.8 + 0.4 * speed);
    EXPECT_NEAR(friction(c, speed, 0.0, 0.0).torque, faded * speed + 0.01 * speed, 1e-9);
}

TEST(Friction, AGearWithLossesRubsMoreUnderLoadWhicheverWayItIsLoaded) {
    const auto c = friction_coefficients(parts, 0.8);
    EXPECT_NEAR(friction_level(c, 1e3, 1.5), 0.2 + 0.2 * 1.5, 1e-12);
    EXPECT_DOUBLE_EQ(friction_level(c, 1.0, 1.5), friction_level(c, 1.0, -1.5));
}

TEST(Friction, EveryFieldIsGuarded) { support::expect_every_field_guarded<FrictionParameters>(); }

TEST(Friction, StaticFrictionMayNotBeBelowSlidingFriction) {
    support::expect_refused<FrictionParameters>("part.breakaway", [](FrictionParameters& p) { p.breakaway = 0.1; });
}

}  // namespace
