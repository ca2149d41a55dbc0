// SPDX-License-Identifier: BSD-3-Clause
// Laws that hold at every point of the state space, on every body. Everything here is analytic.
#include <gtest/gtest.h>

#include "support/bodies.hpp"
#include "support/draw.hpp"
#include "support/dual.hpp"

namespace {

using namespace twintrack::plant;
using support::Draw;
using support::Dual;

constexpr int points = 20000;

class PlantLaw : public testing::TestWithParam<support::Body> {
protected:
    const BodyMechanics body = GetParam().mechanics;
    const Coefficients<double> c = coefficients(body);

    State<double> state(Draw& draw) const {
        const auto& s = body.stops;
        const double bristle = body.friction.breakaway / body.friction.bristle_stiffness;
        return {draw.uniform(-15.0, 15.0), draw.uniform(s.closed_angle - 0.01, s.open_angle + 0.01),
                std::pow(draw.uniform(-3.5, 3.5), 3.0), draw.uniform(-2.0, 2.0) * bristle};
    }

    static Drive<double> drive(Draw& draw) {
        const auto mode = static_cast<BridgeMode>(static_cast<int>(draw.uniform(0.0, 3.0)));
        return {terminal({}, mode, draw.uniform(-1.0, 1.0), draw.uniform(6.0, 16.0)), draw.uniform(-0.5, 0.5)};
    }
};

TEST_P(PlantLaw, SpringTorqueIsMinusTheSlopeOfThePotential) {
    Draw draw(1);
    const auto lifted = support::lift(c);
    for (int k = 0; k < points; ++k) {
        const Dual angle(draw.uniform(body.springs.rest_angle - 1.0, body.springs.rest_angle + 2.0), 1);
        EXPECT_NEAR(spring_potential(lifted.springs, angle).slope[1], -spring_torque(c.springs, angle.value), 1e-12);
    }
}

TEST_P(PlantLaw, ElasticStopTorqueIsMinusTheSlopeOfThePotential) {
    Draw draw(2);
    const auto lifted = support::lift(c);
    for (int k = 0; k < points; ++k) {
        const Dual angle(draw.uniform(body.stops.closed_angle - 0.1, body.stops.open_angle + 0.1), 1);
        EXPECT_NEAR(stop_potential(lifted.stops, angle).slope[1], -stop_torque(c.stops, angle.value, 0.0), 1e-9);
    }
}

TEST_P(PlantLaw, StopsNeverPull) {
    Draw draw(3);
    for (int k = 0; k < points; ++k) {
        const double speed = draw.uniform(-100.0, 100.0);
        EXPECT_GE(stop_torque(c.stops, body.stops.closed_angle - draw.uniform(0.0, 0.1), speed), 0.0);
        EXPECT_LE(stop_torque(c.stops, body.stops.open_angle + draw.uniform(0.0, 0.1), speed), 0.0);
        EXPECT_EQ(stop_torque(c.stops, draw.uniform(body.stops.closed_angle, body.stops.open_angle), speed), 0.0);
    }
}

// M ω ≥ d/dt(σ₀z²/2) for any bristle, however far from its steady deflection, under any gear load.
TEST_P(PlantLaw, FrictionIsPassive) {
    Draw draw(4);
    const double bristle = body.friction.breakaway / body.friction.bristle_stiffness;
    for (int k = 0; k < points; ++k) {
        const double speed = std::pow(10.0, draw.uniform(-6.0, 3.0)) * (draw.uniform(-1.0, 1.0) < 0.0 ? -1.0 : 1.0);
        const double z = draw.uniform(-5.0, 5.0) * bristle;
        const auto f = friction(c.friction, speed, z, draw.uniform(-3.0, 3.0));
        const double stored = c.friction.stiffness * z * f.bristle_rate;
        const double scale = std::fabs(f.torque * speed) + std::fabs(stored);
        EXPECT_GE(f.torque * speed - stored, -1e-13 * scale) << "speed " << speed << " bristle " << z;
    }
}

TEST_P(PlantLaw, TheBristleNeverLeavesItsSteadyRange) {
    Draw draw(5);
    if (body.friction.kind == FrictionKind::simple) {
        EXPECT_EQ(friction(c.friction, 3.0, 0.001, 0.0).bristle_rate, 0.0);
        return;
    }
    for (int k = 0; k < points; ++k) {
        const double speed = draw.uniform(-40.0, 40.0), load = draw.uniform(-3.0, 3.0);
        const double edge = friction_level(c.friction, speed, load) / c.friction.stiffness;
        EXPECT_LE(friction(c.friction, speed, 1.001 * edge, load).bristle_rate, 0.0);
        EXPECT_GE(friction(c.friction, speed, -1.001 * edge, load).bristle_rate, 0.0);
    }
}

TEST_P(PlantLaw, NoLossIsNegative) {
    Draw draw(6);
    for (int k = 0; k < points; ++k) {
        const auto p = powers(c, drive(draw), state(draw));
        EXPECT_GE(p.copper, 0.0);
        EXPECT_GE(p.brushes, 0.0);
        EXPECT_GE(p.stops, 0.0);
        EXPECT_GE(p.friction, -1e-12 * std::fabs(p.supplied));
    }
}

// dE/dt along the motion, by exact differentiation of the energies, against what crosses the border.
TEST_P(PlantLaw, EnergyIsSuppliedKeptOrLost) {
    Draw draw(7);
    const auto lifted = support::lift(c);
    for (int k = 0; k < points; ++k) {
        const auto d = drive(draw);
        const auto x = state(draw);
        const auto rate = derivatives(c, d, x);
        const auto slope = energies(lifted, support::seed(x)).total().slope;
        const double change =
            slope[0] * rate.current + slope[1] * rate.angle + slope[2] * rate.speed + slope[3] * rate.bristle;
        const auto p = powers(c, d, x);
        const double scale = std::fabs(slope[0] * rate.current) + std::fabs(slope[1] * rate.angle) +
                             std::fabs(slope[2] * rate.speed) + std::fabs(slope[3] * rate.bristle) + 1.0;
        EXPECT_NEAR(change, p.supplied - p.copper - p.brushes - p.friction - p.stops, 1e-12 * scale);
    }
}

// The same law on `double` and on dual numbers, and the Jacobian of the dual against a difference quotient.
TEST_P(PlantLaw, OneSourceServesEveryNumberType) {
    Draw draw(8);
    const auto lifted = support::lift(c);
    for (int k = 0; k < 200; ++k) {
        const auto d = drive(draw);
        const auto x = state(draw);
        const auto plain = derivatives(c, d, x);
        const auto dual = derivatives(lifted, support::lift(d), support::seed(x));
        EXPECT_EQ(dual.current.value, plain.current);
        EXPECT_EQ(dual.speed.value, plain.speed);
        EXPECT_EQ(dual.bristle.value, plain.bristle);
        const double h = 1e-7;
        const auto ahead = derivatives(c, d, {x.current + h, x.angle, x.speed, x.bristle});
        const auto behind = derivatives(c, d, {x.current - h, x.angle, x.speed, x.bristle});
        const double quotient = (ahead.speed - behind.speed) / (2.0 * h);
        EXPECT_NEAR(dual.speed.slope[0], quotient, 1e-4 * (1.0 + std::fabs(quotient)));
    }
}

INSTANTIATE_TEST_SUITE_P(Bodies, PlantLaw, testing::ValuesIn(support::bodies()), support::name);

}  // namespace
