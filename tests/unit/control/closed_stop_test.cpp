// SPDX-License-Identifier: BSD-3-Clause
// Expected numbers are analytic (closed_stop.hpp).
#include "twintrack/control/closed_stop.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::control;

ClosedStop made(double limit = 0.03) { return {{.enabled = true, .limit = limit}, 0.001}; }

TEST(ClosedStop, EveryFieldIsGuarded) { support::expect_every_field_guarded<ClosedStopParameters>(); }

TEST(ClosedStop, OffItKeepsTheLearnedPosition) {
    ClosedStop stop({}, 0.001);
    for (int k = 0; k < 5000; ++k) stop.step(-0.05, 0.0, -1.0);
    EXPECT_EQ(stop.shift(), 0.0);
    EXPECT_EQ(stop.opening(0.3), 0.3);
}

TEST(ClosedStop, FollowsAStopThatLiesFurtherOut) {
    ClosedStop stop = made();
    for (int k = 0; k < 500; ++k) stop.step(-0.02, 0.02, 0.0);
    EXPECT_NEAR(stop.shift(), -0.005, 1e-12) << "0.01 per second";
    for (int k = 0; k < 5000; ++k) stop.step(-0.02, 0.02, 0.0);
    EXPECT_NEAR(stop.opening(-0.02), 0.0, 1e-12);
    EXPECT_NEAR(stop.shift(), -0.02, 1e-12);
}

TEST(ClosedStop, FollowsDepositsUntilTheLoopNeedNotPush) {
    ClosedStop stop = made();
    for (int k = 0; k < 290; ++k) stop.step(0.04, 0.02, -0.3);
    EXPECT_EQ(stop.shift(), 0.0) << "not before it has stood still for 0.3 s";
    for (int k = 0; k < 5000; ++k) stop.step(0.04, 0.02, -0.3);
    EXPECT_NEAR(stop.opening(0.04), 0.02 - ClosedStop::below, 2e-5) << "a real loop unwinds before";
}

/// Steps of the same push until the shift moves; 0: never. Every limit is a number that a double holds exactly.
int steps_until_it_moves(double position, double set_point, double duty) {
    ClosedStop stop({.enabled = true, .duty = 0.25, .time = 0.25}, 1.0 / 128.0);
    for (int k = 1; k <= 200; ++k) {
        stop.step(position, set_point, duty);
        if (stop.shift() != 0.0) return k;
    }
    return 0;
}

TEST(ClosedStop, EachConditionIsTakenOnItsLimitAndNotBeyond) {
    const double still = ClosedStop::still, edge = 0.5 - ClosedStop::below;
    const auto up = [](double x) { return std::nextafter(x, 1.0); };
    EXPECT_EQ(steps_until_it_moves(0.0, 0.0, -0.25), 32) << "0.25 s, and the step on which they are over";
    EXPECT_EQ(steps_until_it_moves(0.0, 0.0, -std::nextafter(0.25, 0.0)), 0);
    EXPECT_EQ(steps_until_it_moves(0.0, 0.0, 0.25), 0) << "pushed open";
    EXPECT_EQ(steps_until_it_moves(still, 0.0, -0.25), 32) << "so little is no movement";
    EXPECT_EQ(steps_until_it_moves(up(still), 0.0, -0.25), 33) << "it came there by the first step";
    EXPECT_EQ(steps_until_it_moves(edge, 0.5, -0.25), 0);
    EXPECT_EQ(steps_until_it_moves(up(edge), 0.5, -0.25), 33);
}

TEST(ClosedStop, APauseInThePushBeginsItsTimeAnew) {
    ClosedStop stop({.enabled = true, .duty = 0.25, .time = 0.25}, 1.0 / 128.0);
    for (int k = 0; k < 31; ++k) stop.step(0.0, 0.0, -0.5);
    stop.step(0.0, 0.0, 0.0);
    for (int k = 0; k < 31; ++k) stop.step(0.0, 0.0, -0.5);
    EXPECT_EQ(stop.shift(), 0.0);
    stop.step(0.0, 0.0, -0.5);
    EXPECT_EQ(stop.shift(), 0.01 / 128.0);
}

TEST(ClosedStop, StaysWithinItsLimit) {
    ClosedStop out = made(0.01), in = made(0.01);
    for (int k = 0; k < 10000; ++k) {
        out.step(-0.2, 0.02, 0.0);
        in.step(0.2, 0.02, -0.5);
    }
    EXPECT_EQ(out.shift(), -0.01);
    EXPECT_EQ(in.shift(), 0.01);
}

TEST(ClosedStop, AMovingBladeOrASoftPushTeachesNothing) {
    ClosedStop moving = made(), soft = made();
    for (int k = 0; k < 5000; ++k) {
        moving.step(0.5 - 0.0001 * (k % 4000), 0.02, -0.5);
        soft.step(0.1, 0.02, -0.2);
    }
    EXPECT_EQ(moving.shift(), 0.0);
    EXPECT_EQ(soft.shift(), 0.0);
}

}  // namespace
