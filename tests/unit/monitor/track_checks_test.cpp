// SPDX-License-Identifier: BSD-3-Clause
// Limits are this bench's own; the expectations follow from the definitions.
#include "twintrack/monitor/track_checks.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

constexpr Time tick = milliseconds(1);

TEST(RateCheck, AJumpCountsForItsTime) {
    const double allowed = 80.0 * 0.001 * 0.6;  // of a span of 0.6
    RateCheck c({}, tick, 0.6);
    EXPECT_FALSE(c.step(0.3)) << "the first reading is no jump";
    EXPECT_FALSE(c.step(0.3 + 0.99 * allowed));
    EXPECT_TRUE(c.step(0.3 + 2.01 * allowed));
    int bad = 1;
    while (c.step(0.3 + 2.01 * allowed)) ++bad;
    EXPECT_EQ(bad, 51) << "this tick and 50 ms more";
}

TEST(RateCheck, FallsCountAsRisesDo) {
    RateCheck c({}, tick, -0.6);
    EXPECT_FALSE(c.step(0.5));
    EXPECT_TRUE(c.step(0.1));
}

TEST(StuckCheck, StandsWhileItsPartnerGoes) {
    StuckCheck c({});
    EXPECT_FALSE(c.step(0.2, 0.2));
    EXPECT_FALSE(c.step(0.2, 0.309));
    EXPECT_TRUE(c.step(0.2, 0.311));
    EXPECT_TRUE(c.step(0.209, 0.089)) << "either way";
    EXPECT_FALSE(c.step(0.211, 0.211)) << "it moves after all, and both are compared from here";
    EXPECT_FALSE(c.step(0.211, 0.32));
    EXPECT_TRUE(c.step(0.211, 0.33));
    c.restart();
    EXPECT_FALSE(c.step(0.211, 0.33));
}

TEST(StuckCheck, BothMayStand) {
    StuckCheck c({});
    for (int k = 0; k < 1000; ++k) EXPECT_FALSE(c.step(0.5, 0.5));
}

TEST(StuckCheck, OnItsLimitsNothingHasMoved) {
    const StuckParameters p{.still = 1.0 / 128.0, .moved = 1.0 / 8.0};  // held exactly by a double
    StuckCheck c(p);
    EXPECT_FALSE(c.step(0.5, 0.5));
    EXPECT_FALSE(c.step(0.5 + p.still, 0.5 + p.moved)) << "on both";
    EXPECT_TRUE(c.step(0.5 + p.still, 0.5 + std::nextafter(p.moved, 1.0) + 1e-15));
    EXPECT_TRUE(c.step(0.5 - p.still, 0.25)) << "still where it stood";
    EXPECT_FALSE(c.step(0.5 + p.still + 1e-15, 0.25)) << "it has moved, and both begin anew";
    EXPECT_FALSE(c.step(0.5 + p.still, 0.25 + p.moved));
    EXPECT_TRUE(c.step(0.5 + p.still, 0.25 - p.moved - 1e-15));
}

TEST(Drift, OnTheLimitIsWithin) {
    const DriftParameters p{.limit = 0.0625};
    const control::LearnedTrack t = control::straight_track(0.0, 1.0);
    EXPECT_FALSE(beyond_ends(p, t, 1.0625));
    EXPECT_TRUE(beyond_ends(p, t, std::nextafter(1.0625, 2.0)));
    EXPECT_FALSE(beyond_ends(p, t, -0.0625));
    EXPECT_TRUE(beyond_ends(p, t, std::nextafter(-0.0625, -1.0)));
}

TEST(Drift, BeyondEitherLearnedEnd) {
    for (const auto& t : {control::straight_track(0.1, 0.9), control::straight_track(0.9, 0.1)}) {
        EXPECT_FALSE(beyond_ends({}, t, t.expected(-0.059)));
        EXPECT_TRUE(beyond_ends({}, t, t.expected(-0.061)));
        EXPECT_FALSE(beyond_ends({}, t, t.expected(1.059)));
        EXPECT_TRUE(beyond_ends({}, t, t.expected(1.061)));
    }
}

}  // namespace
