// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/dual.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using D = twintrack::Dual<2>;

// Analytic derivatives.
TEST(Dual, FollowsTheRulesOfDifferentiation) {
    const D x(1.7, 0), y(-0.6, 1);
    EXPECT_DOUBLE_EQ((x * y).slope[0], -0.6);
    EXPECT_DOUBLE_EQ((x * y).slope[1], 1.7);
    EXPECT_DOUBLE_EQ((x / y).slope[0], 1.0 / -0.6);
    EXPECT_DOUBLE_EQ((x / y).slope[1], -1.7 / 0.36);
    EXPECT_DOUBLE_EQ((x - y).slope[1], -1.0);
    EXPECT_DOUBLE_EQ(sqrt(x).slope[0], 0.5 / std::sqrt(1.7));
    EXPECT_NEAR(exponential(x * y).slope[0], -0.6 * std::exp(-1.02), 1e-15);
    EXPECT_NEAR(logarithm(x).slope[0], 1.0 / 1.7, 1e-15);
    EXPECT_DOUBLE_EQ(abs(y).slope[1], -1.0);
}

TEST(Dual, TakesTheSlopeOfTheBranch) {
    const D x(1.0, 0), y(2.0, 1);
    EXPECT_EQ(min(x, y).slope[0], 1.0);
    EXPECT_EQ(max(x, y).slope[0], 0.0);
    EXPECT_EQ(select(x > y, x, y).slope[1], 1.0);
    EXPECT_EQ(twintrack::clamp(x, D(0.0), D(0.5)).slope[0], 0.0);
}

// The very law of the exponential, taken apart into a whole and a broken power of two, on dual numbers.
TEST(Dual, PassesThroughTheLawOfTheExponential) {
    for (const double at : {-30.0, -1.3, 0.0, 0.4, 12.0}) {
        const D e = twintrack::detail::exponential_law(D(at, 0));
        EXPECT_EQ(e.value, twintrack::exponential(at));
        EXPECT_NEAR(e.slope[0], e.value, 1e-14 * e.value);
    }
}

}  // namespace
