// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/stillness.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack::control;

TEST(Stillness, CountsTheTimeSinceAnyTrackLeftItsBand) {
    Stillness still(2, 0.01, 0.001);
    EXPECT_EQ(still.step({0.5, 0.2}), 0.0);
    EXPECT_NEAR(still.step({0.509, 0.2}), 0.001, 1e-15);
    EXPECT_NEAR(still.step({0.491, 0.2}), 0.002, 1e-15);
    EXPECT_EQ(still.step({0.491, 0.215}), 0.0);
    EXPECT_NEAR(still.step({0.491, 0.215, 0.9}), 0.001, 1e-15) << "the third track is not in use";
    still.restart();
    EXPECT_EQ(still.step({0.491, 0.215}), 0.0);
}

TEST(Stillness, SlowDriftIsMovement) {
    Stillness still(1, 0.01, 0.001);
    double longest = 0.0;
    for (int k = 0; k < 1000; ++k) longest = twintrack::max(longest, still.step({0.2 + 0.0005 * k}));
    EXPECT_NEAR(longest, 0.020, 1e-12);
}

TEST(Average, IsTheMeanOfEachTrack) {
    Average a;
    a.add({0.1, 0.5, 1.0});
    a.add({0.3, 0.7, 0.0});
    EXPECT_EQ(a.count(), 2);
    EXPECT_NEAR(a.mean()[0], 0.2, 1e-15);
    EXPECT_NEAR(a.mean()[1], 0.6, 1e-15);
    EXPECT_NEAR(a.mean()[2], 0.5, 1e-15);
    a.restart();
    EXPECT_EQ(a.count(), 0);
}

TEST(Average, KnowsTheScatterOfTheWorstTrack) {
    Average a;
    for (int i = 0; i < 100; ++i) a.add({0.9, i % 2 == 0 ? 0.501 : 0.499, 0.1});
    EXPECT_NEAR(a.rms(), 0.001, 1e-12);
    a.restart();
    a.add({0.3, 0.3, 0.3});
    EXPECT_EQ(a.rms(), 0.0);
}

}  // namespace
