// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/exact_solver.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace {

using namespace twintrack;
using bench::ExactSolver;
using plant::BridgeMode;
using plant::State;

/// A blade without springs and friction: the motor alone, or a free flight between the stops.
plant::BodyMechanics bare() {
    plant::BodyMechanics b;
    b.springs = {.rest_angle = 0.7, .open_preload = 0, .open_rate = 0, .close_preload = 0, .close_rate = 0};
    b.friction = {.kind = plant::FrictionKind::simple, .coulomb = 1e-5, .breakaway = 1e-5, .viscous = 0};
    return b;
}

plant::Drive<double> drive(BridgeMode mode, double duty, double supply = 12.0) {
    plant::Drive<double> d;
    d.terminal =
        plant::terminal({.switch_resistance = 0, .supply_resistance = 0, .current_limit = 200}, mode, duty, supply);
    return d;
}

TEST(ExactSolver, LockedRotorCurrentIsTheExponential) {
    plant::BodyMechanics b = bare();
    b.inertia = 1.0;  // heavy enough not to move in two milliseconds
    ExactSolver engine(plant::coefficients(b), {.relative_tolerance = 1e-10, .absolute_tolerance = 1e-12});
    State<double> x{0, 0.7, 0, 0};
    ASSERT_FALSE(engine.advance(x, drive(BridgeMode::drive, 1.0), 0.002));
    const double tau = b.motor.inductance / b.motor.resistance;
    EXPECT_NEAR(x.current, 12.0 / b.motor.resistance * (1 - std::exp(-0.002 / tau)),
                7e-4);  // analytic; the back-EMF of 4e-3 rad/s costs up to 7e-4 A
}

TEST(ExactSolver, CurrentOfAnOpenBridgeDiesAndStaysZero) {
    ExactSolver engine(plant::coefficients(bare()));
    State<double> x{3.0, 0.7, 0, 0};
    ASSERT_FALSE(engine.advance(x, drive(BridgeMode::high_impedance, 0), 0.005));
    EXPECT_EQ(x.current, 0.0);
    ASSERT_FALSE(engine.advance(x, drive(BridgeMode::high_impedance, 0), 0.005));
    EXPECT_EQ(x.current, 0.0);
}

TEST(ExactSolver, ContactIsStruckAtTheStopAndLosesEnergy) {
    const plant::BodyMechanics b = bare();
    const auto c = plant::coefficients(b);
    ExactSolver engine(c);
    State<double> x{0, 0.5, -5.0, 0};  // flies toward the closed stop, arrives after about 0.1 s
    double lowest = 1.0;
    for (int k = 0; k < 200; ++k) {
        ASSERT_FALSE(engine.advance(x, drive(BridgeMode::high_impedance, 0), 0.001));
        lowest = std::min(lowest, x.angle);
    }
    EXPECT_GT(x.speed, 0.0) << "it bounced";
    EXPECT_LT(x.speed, 5.0) << "restitution below one";
    EXPECT_LT(lowest, b.stops.closed_angle);
    EXPECT_GT(lowest, b.stops.closed_angle - 5.0 * std::sqrt(b.inertia / b.stops.stiffness))
        << "elastic bound on the depth";
}

/// The instant of impact is where a parabola puts it: constant torque, no friction to speak of.
TEST(ExactSolver, SameResultWhicheverTickTheImpactFallsIn) {
    const auto c = plant::coefficients(bare());
    const auto fly = [&](double tick) {
        ExactSolver engine(c, {.relative_tolerance = 1e-9, .absolute_tolerance = 1e-11});
        State<double> x{0, 0.1, -8.0, 0};
        for (int k = 0; k * tick < 0.0599; ++k)
            EXPECT_FALSE(engine.advance(x, drive(BridgeMode::high_impedance, 0), tick));
        return x;
    };
    const State<double> coarse = fly(0.01), fine = fly(0.0005);
    EXPECT_NEAR(coarse.angle, fine.angle, 1e-6);
    EXPECT_NEAR(coarse.speed, fine.speed, 1e-4);
}

TEST(ExactSolver, ErrorShrinksWithTheTolerance) {
    const auto c = plant::coefficients(plant::BodyMechanics{});
    const auto end = [&](double tolerance) {
        ExactSolver engine(c, {.relative_tolerance = tolerance, .absolute_tolerance = 0.01 * tolerance});
        State<double> x{0, 0.13, 0, 0};
        for (int k = 0; k < 60; ++k) EXPECT_FALSE(engine.advance(x, drive(BridgeMode::drive, 0.5), 0.001));
        return x.angle;
    };
    const double reference = end(1e-12);
    EXPECT_LT(std::fabs(end(1e-8) - reference), std::fabs(end(1e-4) - reference));
    EXPECT_NEAR(end(1e-6), reference, 1e-5);
}

TEST(ExactSolver, SaysWhyItFailed) {
    ExactSolver engine(plant::coefficients(bare()), {.most_steps = 3});
    State<double> x{0, 0.7, 0, 0};
    const auto failure = engine.advance(x, drive(BridgeMode::drive, 1.0), 1.0);
    ASSERT_TRUE(failure.has_value());
    EXPECT_NE(failure->find("step limit"), std::string::npos);
    State<double> lost{std::numeric_limits<double>::quiet_NaN(), 0.7, 0, 0};
    ExactSolver second(plant::coefficients(bare()));
    EXPECT_TRUE(second.advance(lost, drive(BridgeMode::drive, 1.0), 0.001).has_value());
}

}  // namespace
