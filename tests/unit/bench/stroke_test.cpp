// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/stroke.hpp"

#include <gtest/gtest.h>

#include <limits>

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

}  // namespace
