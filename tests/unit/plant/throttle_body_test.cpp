// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/throttle_body.hpp"

#include <gtest/gtest.h>

#include "support/bodies.hpp"
#include "support/refusal.hpp"

namespace {

using namespace twintrack::plant;

TEST(ThrottleBody, ADeadCurrentStaysDead) {
    const auto c = coefficients(support::lossy());
    Drive<double> off{terminal({}, BridgeMode::high_impedance, 0.0, 12.0)};
    off.conducting = false;
    EXPECT_DOUBLE_EQ(derivatives(c, off, {0.0, 0.5, 20.0, 0.0}).current, 0.0);
}

TEST(ThrottleBody, AnOpeningTorqueOfAnyOriginOpens) {
    const auto c = coefficients(support::set_a());
    Drive<double> drive{terminal({}, BridgeMode::brake, 0.0, 12.0)};
    const double unpowered = derivatives(c, drive, {0.0, 0.5, 0.0, 0.0}).speed;
    EXPECT_GT(derivatives(c, drive, {1.0, 0.5, 0.0, 0.0}).speed, unpowered);
    drive.external_torque = 0.1;
    EXPECT_NEAR(derivatives(c, drive, {0.0, 0.5, 0.0, 0.0}).speed - unpowered, 0.1 / 0.0021, 1e-9);
}

TEST(ThrottleBody, DefaultAngleIsWhereTheSpringsMeetOrTheClosedStop) {
    EXPECT_DOUBLE_EQ(default_angle(support::set_a()), 0.0);
    EXPECT_DOUBLE_EQ(default_angle(support::set_b()), support::set_b().stops.closed_angle);  // one spring
}

TEST(ThrottleBody, EveryFieldIsGuarded) { support::expect_every_field_guarded<BodyMechanics>(); }

TEST(ThrottleBody, TheDefaultPositionLiesBelowTheOpenStop) {
    support::expect_refused<BodyMechanics>("part.springs.rest_angle",
                                           [](BodyMechanics& b) { b.springs.rest_angle = b.stops.open_angle; });
}

TEST(ThrottleBody, ErrorsDeepInsideAreNamedByTheirPath) {
    support::expect_refused<BodyMechanics>("part.motor.resistance", [](BodyMechanics& b) { b.motor.resistance = NAN; });
}

TEST(ThrottleBody, TheTestBodiesAreValid) {
    for (const auto& body : support::bodies()) EXPECT_NO_THROW(twintrack::validate(body.mechanics)) << body.name;
}

}  // namespace
