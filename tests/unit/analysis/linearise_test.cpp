// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/analysis/linearise.hpp"

#include <gtest/gtest.h>

#include "support/bodies.hpp"
#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack;
using analysis::Motion;

analysis::LinearPlant at(const plant::BodyMechanics& body, Motion motion) {
    return analysis::linearise(body, {}, {.angle = 0.7, .motion = motion, .speed = 1.3, .supply = 13.0});
}

// Analytic: R/L, NK/L, NK/J, σ₂/J + c/J, and a stuck blade on the bristles' spring.
TEST(Linearise, HasTheEntriesOfTheEquations) {
    const plant::BodyMechanics a = support::set_a();
    const plant::BridgeParameters bridge;
    const auto p = at(a, Motion::opening);
    const double ohms = 1.5 + 2.0 * bridge.switch_resistance + p.duty * p.duty * bridge.supply_resistance;
    EXPECT_NEAR(p.model.a[0], -ohms / 1.5e-3, 1e-9);
    EXPECT_NEAR(p.model.a[2], -0.383 / 1.5e-3, 1e-9);
    EXPECT_NEAR(p.model.a[2 * 4 + 0], 0.383 / 0.0021, 1e-9);
    EXPECT_NEAR(p.model.a[2 * 4 + 1], -0.087 / 0.0021, 1e-9);
    EXPECT_NEAR(p.model.a[2 * 4 + 2], -0.0088 / 0.0021, 1e-9);
    const auto stuck = at(a, Motion::stuck);
    EXPECT_NEAR(stuck.model.a[2 * 4 + 3], -284.0 / 0.0021, 1e-6);
    EXPECT_EQ(stuck.model.a[3 * 4 + 2], 1.0);
}

TEST(Linearise, LeavesTheBristlesOutOfSimpleFriction) {
    const auto p = at(support::with_simple_friction(support::set_a()), Motion::closing);
    EXPECT_EQ(p.model.states, 3u);
    EXPECT_EQ(p.model.a.size(), 9u);
}

// The balance holds with a lossy gear, brushes and a warm winding: di/dt and dω/dt vanish.
TEST(Linearise, StandsWhereForcesBalance) {
    for (const Motion motion : {Motion::opening, Motion::closing, Motion::stuck}) {
        const plant::BodyMechanics body = support::lossy();
        const auto p = at(body, motion);
        const plant::Drive<double> d{plant::terminal({}, plant::BridgeMode::drive, p.duty, 13.0), 0.0, true};
        const auto rate = plant::derivatives(plant::coefficients(body), d, p.state);
        EXPECT_NEAR(rate.current, 0.0, 1e-6);
        EXPECT_NEAR(rate.speed, 0.0, 1e-9);
        EXPECT_NEAR(rate.bristle, 0.0, 1e-12);
    }
}

TEST(Linearise, RefusesWhatCannotBe) {
    EXPECT_THROW((void)analysis::linearise(support::set_a(), {}, {.angle = 5.0}), InvalidParameter);
    EXPECT_THROW((void)analysis::linearise(support::set_a(), {}, {.motion = Motion::opening, .speed = 90.0}),
                 InvalidParameter);
    EXPECT_THROW((void)analysis::linearise(support::set_a(), {.current_limit = 0.5}, {.motion = Motion::opening}),
                 InvalidParameter);
}

// Analytic: exp of a first-order lag.
TEST(Sampled, IsTheExponentialOfALag) {
    const analysis::LinearModel lag{1, 1, 1, {-50.0}, {50.0}, {1.0}, {0.0}};
    const auto held = analysis::sampled(lag, 0.01);
    EXPECT_NEAR(held.a[0], std::exp(-0.5), 1e-15);
    EXPECT_NEAR(held.b[0], 1.0 - std::exp(-0.5), 1e-15);
}

}  // namespace
