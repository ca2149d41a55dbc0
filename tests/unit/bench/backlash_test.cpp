// SPDX-License-Identifier: BSD-3-Clause
// A gear with backlash in the exact solver: analytic, from the equations of plant/backlash.hpp.
#include <gtest/gtest.h>

#include <cmath>

#include "twintrack/bench/exact_solver.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::plant;

constexpr BacklashParameters gear{.play = 0.02, .motor_share = 0.7, .stiffness = 1000.0, .dissipation = 0.5};

/// The motor alone crosses the play in √(2 b J_m / M) while the blade stands on its springs.
TEST(ExactBacklash, TheMotorCrossesThePlayAlone) {
    BodyMechanics b;
    b.motor = {.resistance = 10.0, .inductance = 1e-4, .constant = 0.01, .temperature = 20.0, .gear_ratio = 10.0};
    b.motor.brush_drop = 0.0;
    b.backlash = gear;
    bench::ExactSolver exact(coefficients(b), {.relative_tolerance = 1e-8, .absolute_tolerance = 1e-9}, b.backlash);
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

TEST(ExactBacklash, KeepsNoLedger) {
    BodyMechanics b;
    b.backlash = gear;
    bench::ExactSolver exact(coefficients(b), {}, b.backlash);
    State<double> x{};
    bench::EnergyLedger ledger;
    const auto failure = exact.advance(x, {}, 1e-3, &ledger);
    ASSERT_TRUE(failure.has_value());
    EXPECT_NE(failure->find("backlash"), std::string::npos);
}

}  // namespace
