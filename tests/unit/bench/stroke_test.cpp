// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/stroke.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "twintrack/core/error.hpp"

namespace {

using twintrack::from_seconds;
using twintrack::InvalidParameter;
using twintrack::bench::Stroke;

TEST(Stroke, InterpolatesAndHoldsItsEnds) {
    const Stroke s({1.0, 2.0}, {0.0, 1.0});
    EXPECT_DOUBLE_EQ(s.travel(from_seconds(0.0)), 0.0);
    EXPECT_DOUBLE_EQ(s.travel(from_seconds(1.25)), 0.25);
    EXPECT_DOUBLE_EQ(s.travel(from_seconds(9.0)), 1.0);
    EXPECT_DOUBLE_EQ(s.duration(), 2.0);
}

TEST(Stroke, JoinsAdjacentHolds) {
    const Stroke s({0.0, 1.0, 2.0, 3.0, 3.5}, {0.0, 0.0, 0.0, 1.0, 1.0});
    const auto holds = s.holds(1.0);
    ASSERT_EQ(holds.size(), 1u);
    EXPECT_DOUBLE_EQ(holds[0].from, 0.0);
    EXPECT_DOUBLE_EQ(holds[0].to, 2.0);
}

TEST(Stroke, TheJudgedStrokeHoldsAtRestHalfAndFull) {
    const auto holds = Stroke::rest_half_full_rest().holds(1.0);
    ASSERT_EQ(holds.size(), 4u);
    EXPECT_DOUBLE_EQ(holds[0].travel, 0.0);
    EXPECT_DOUBLE_EQ(holds[1].travel, 0.5);
    EXPECT_DOUBLE_EQ(holds[2].travel, 1.0);
    EXPECT_DOUBLE_EQ(holds[3].travel, 0.0);
}

TEST(Stroke, RefusesWhatNoFootCanDo) {
    EXPECT_THROW(Stroke({0.0, 1.0}, {0.0, 1.1}), InvalidParameter);
    EXPECT_THROW(Stroke({0.0, 1.0}, {-0.1, 1.0}), InvalidParameter);
    EXPECT_THROW(Stroke({-1.0, 1.0}, {0.0, 1.0}), InvalidParameter);
    EXPECT_THROW(Stroke({1.0, 1.0}, {0.0, 1.0}), InvalidParameter);
    EXPECT_THROW(Stroke({0.0, std::numeric_limits<double>::quiet_NaN()}, {0.0, 1.0}), InvalidParameter);
}

TEST(Stroke, IsAtMostTenThousandSecondsAndPointsLong) {
    EXPECT_NO_THROW(Stroke({0.0, 1e4}, {0.0, 1.0}));
    EXPECT_THROW(Stroke({0.0, std::nextafter(1e4, 2e4)}, {0.0, 1.0}), InvalidParameter);
    const auto points = [](std::size_t count) {
        std::vector<double> time;
        for (std::size_t i = 0; i < count; ++i) time.push_back(0.1 * static_cast<double>(i));
        return Stroke(time, std::vector<double>(count, 0.0));
    };
    EXPECT_NO_THROW(points(1));
    EXPECT_NO_THROW(points(10000));
    EXPECT_THROW(points(10001), InvalidParameter);
}

}  // namespace
