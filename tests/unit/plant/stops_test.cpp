// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/stops.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::plant;

const auto stops = stop_coefficients({.closed_angle = 0.1, .open_angle = 1.5, .stiffness = 1e4, .damping = 0.3});

// Analytic: Hunt & Crossley's contact by hand.
TEST(Stops, PushBackIntoTheTravel) {
    EXPECT_DOUBLE_EQ(stop_torque(stops, 0.8, 50.0), 0.0);
    EXPECT_NEAR(stop_torque(stops, 0.099, 0.0), 10.0, 1e-9);
    EXPECT_NEAR(stop_torque(stops, 1.501, 0.0), -10.0, 1e-9);
}

TEST(Stops, PushHarderOnTheWayInThanOnTheWayOut) {
    EXPECT_NEAR(stop_torque(stops, 0.099, -1.0), 13.0, 1e-9);
    EXPECT_NEAR(stop_torque(stops, 0.099, 1.0), 7.0, 1e-9);
    EXPECT_NEAR(stop_torque(stops, 1.501, 1.0), -13.0, 1e-9);
    EXPECT_DOUBLE_EQ(stop_torque(stops, 1.501, -10.0), 0.0);  // leaving faster than the contact follows
}

TEST(Stops, EveryFieldIsGuarded) { support::expect_every_field_guarded<StopParameters>(); }

TEST(Stops, TheOpenStopLiesAboveTheClosedOne) {
    support::expect_refused<StopParameters>("part.open_angle", [](StopParameters& p) {
        p.closed_angle = 0.9;
        p.open_angle = 0.9;
    });
}

}  // namespace
