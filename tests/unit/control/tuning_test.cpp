// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/tuning.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include "support/bodies.hpp"

namespace {

using namespace twintrack::control;

class DampingOptimum : public testing::TestWithParam<support::Body> {};

// Derived: closed loop of the model under the ideal PID, 1 + a₁ s + a₂ s² + a₃ s³ + a₄ s⁴ with the characteristic
// ratios D₂ = a₂/a₁², D₃ = a₃ a₁/a₂², D₄ = a₄ a₂/a₃² of the damping optimum, all one half.
TEST_P(DampingOptimum, GivesRatiosOfOneHalf) {
    const LoopModel m = loop_model(GetParam().mechanics, 0.001, 0.0003);
    const PidParameters p = damping_optimum(m);
    const double loop = m.velocity_gain * p.integral;
    const double a1 = p.proportional / p.integral;
    const double a2 = (1.0 + m.velocity_gain * p.derivative) / loop;
    const double a3 = (m.motor_time + m.small_time) / loop;
    const double a4 = m.motor_time * m.small_time / loop;
    EXPECT_NEAR(a2 / (a1 * a1), 0.5, 1e-12);
    EXPECT_NEAR(a3 * a1 / (a2 * a2), 0.5, 1e-12);
    EXPECT_NEAR(a4 * a2 / (a3 * a3), 0.5, 1e-12);
}

INSTANTIATE_TEST_SUITE_P(Bodies, DampingOptimum, testing::ValuesIn(support::bodies()), support::name);

// Set A (Loh, Thanom, Pyko, Lee 2013, values second-hand): motor-only mechanical time constant RJ/(RB + K²) = 19.7 ms
// and electrical one 1.00 ms, computed independently from the set.
TEST(LoopModel, TimeConstantsOfSetA) {
    const LoopModel m = loop_model(support::set_a(), 0.001, 0.0003);
    EXPECT_NEAR(m.motor_time, 0.0197, 5e-5);
    EXPECT_NEAR(m.velocity_gain, 0.383 / (1.5 * 0.0088 + 0.383 * 0.383), 1e-12);
    EXPECT_NEAR(m.small_time, 0.001 + 0.0003 + 0.002, 1e-12);
}

// Regression only: the gains that follow for Set A at 1 kHz.
TEST(LoopModel, GainsOfSetA) {
    const PidParameters p = damping_optimum(loop_model(support::set_a(), 0.001, 0.0003));
    EXPECT_NEAR(p.proportional, 150.0, 1.0);
    EXPECT_NEAR(p.integral, 6644.0, 30.0);
    EXPECT_NEAR(p.derivative, 1.28, 0.02);
}

TEST(LoopModel, RefusesNonsense) {
    EXPECT_THROW((void)loop_model({}, 0.0, 0.0), twintrack::InvalidParameter);
    EXPECT_THROW((void)loop_model({}, 0.001, -1.0), twintrack::InvalidParameter);
    twintrack::plant::BodyMechanics b;
    b.inertia = -1.0;
    EXPECT_THROW((void)loop_model(b, 0.001, 0.0), twintrack::InvalidParameter);
}

}  // namespace
