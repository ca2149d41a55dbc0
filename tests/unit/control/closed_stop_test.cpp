// SPDX-License-Identifier: BSD-3-Clause
// Expected numbers are analytic (closed_stop.hpp).
#include "twintrack/control/closed_stop.hpp"

#include <gtest/gtest.h>

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
