// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/tuning.hpp"
#include "twintrack/core/angle.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <cmath>

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

// By hand: T_Σ 2 ms, ω₀ = 0.6/0.002 = 300/s, K_d = 300 · 0.05/3 = 5. φ_m = 0.9: φ = 0.9 − π/2 + atan 15 + 0.6 = 1.4334,
// tan φ = 7.2333 (by a table of functions), K_p = 5 · 300/7.2333 = 207.4.
TEST(PhaseMargin, GainsByHand) {
    const PidParameters p = by_phase_margin({3.0, 0.05, 0.002, 0.0005}, 0.6, 0.9, 2.0);
    EXPECT_NEAR(p.derivative, 5.0, 1e-12);
    EXPECT_NEAR(p.proportional, 1500.0 / std::tan(0.9 - 0.5 * twintrack::pi + std::atan(15.0) + 0.6), 1e-6);
    EXPECT_NEAR(p.proportional, 207.4, 0.1);
    EXPECT_NEAR(p.integral, 0.5 * p.proportional, 1e-12);
}

// A margin that the derivative gives by itself, or cannot give at all, is held to an angle of 45° … 88°.
TEST(PhaseMargin, TheAngleIsHeld) {
    const auto lead = [](double motor_time, double margin) {
        const PidParameters p = by_phase_margin({3.0, motor_time, 0.002, 0.0005}, 0.6, margin, 1.0);
        return 300.0 * p.derivative / p.proportional;
    };
    EXPECT_NEAR(lead(1e-4, 0.2), 1.0, 1e-12);
    EXPECT_NEAR(lead(0.05, 1.4), std::tan(88.0 * twintrack::pi / 180.0), 1e-6);
}

TEST(LoopModel, RefusesNonsense) {
    EXPECT_THROW((void)loop_model({}, 0.0, 0.0), twintrack::InvalidParameter);
    EXPECT_THROW((void)loop_model({}, 0.001, -1.0), twintrack::InvalidParameter);
    twintrack::plant::BodyMechanics b;
    b.inertia = -1.0;
    EXPECT_THROW((void)loop_model(b, 0.001, 0.0), twintrack::InvalidParameter);
}

}  // namespace
