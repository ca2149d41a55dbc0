// SPDX-License-Identifier: BSD-3-Clause
// The closed form of the holding voltage against the equations of motion: at that voltage, with its bristle drawn out
// and creeping in the named direction, the blade does not accelerate. Analytic.
#include <gtest/gtest.h>

#include "support/bodies.hpp"

namespace {

using namespace twintrack::plant;

/// The current at standstill: the circuit equation falls with the current, so halving finds its zero.
double static_current(const MotorCoefficients<double>& motor, const Terminal<double>& terminal) {
    double low = -100.0, high = 100.0;
    for (int k = 0; k < 100; ++k) {
        const double middle = 0.5 * (low + high);
        (current_rate(motor, motor_voltage(terminal, middle), middle, 0.0) > 0.0 ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

class HoldLaw : public testing::TestWithParam<support::Body> {};

TEST_P(HoldLaw, TheBladeCreepsWithoutAcceleration) {
    BodyMechanics body = GetParam().mechanics;
    body.friction.breakaway = body.friction.coulomb;  // the law speaks of sliding friction
    body.friction.viscous = 0.0;
    const auto c = coefficients(body);
    const BridgeParameters ideal{.switch_resistance = 0.0, .supply_resistance = 0.0, .current_limit = 100.0};
    for (const int direction : {-1, 1})
        for (double share = 0.05; share < 1.0; share += 0.05) {
            const double angle = body.stops.closed_angle + share * (body.stops.open_angle - body.stops.closed_angle);
            const double volts = hold_voltage(body, angle, direction);
            const Drive<double> drive{terminal(ideal, BridgeMode::drive, volts / 16.0, 16.0)};
            const double current = static_current(c.motor, drive.terminal);
            const double speed = direction * 10.0;  // far above the smoothing speed of the simple friction
            const double load = c.motor.blade_constant * current;
            const double bristle =
                direction * friction_level(c.friction, speed, load) / body.friction.bristle_stiffness;
            const double acceleration = derivatives(c, drive, {current, angle, speed, bristle}).speed;
            EXPECT_NEAR(acceleration * body.inertia, 0.0, 1e-6) << "angle " << angle << ", direction " << direction;
        }
}

INSTANTIATE_TEST_SUITE_P(Bodies, HoldLaw, testing::ValuesIn(support::bodies()), support::name);

}  // namespace
