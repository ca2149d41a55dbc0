// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/time.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace {

using twintrack::from_seconds;
using twintrack::Time;

TEST(Time, IsAWholeNumberOfMicroseconds) {
    EXPECT_EQ(from_seconds(0.001), twintrack::milliseconds(1));
    EXPECT_EQ(from_seconds(1.4e-6), Time{1});
    EXPECT_EQ(from_seconds(1.6e-6), Time{2});
    EXPECT_EQ(from_seconds(-1.6e-6), Time{-2});
}

TEST(Time, WhatNoClockReachesBecomesTheEndOfTheScale) {
    constexpr double inf = std::numeric_limits<double>::infinity(), most = 9e12;
    for (const double s : {most, std::nextafter(most, inf), 1e300, inf}) EXPECT_EQ(from_seconds(s), from_seconds(most));
    EXPECT_EQ(from_seconds(most).count(), 9'000'000'000'000'000'000);
    EXPECT_LT(from_seconds(8.9e12), from_seconds(most));
    for (const double s : {-most, -1e300, -inf, std::nan("")}) EXPECT_EQ(from_seconds(s), -from_seconds(most));
    EXPECT_GT(from_seconds(-8.9e12), -from_seconds(most));
}

TEST(Time, ThereAndBackIsExactToAHundredHours) {
    for (std::int64_t us = 1; us < 360'000'000'000; us = us * 3 + 1)
        EXPECT_EQ(from_seconds(twintrack::seconds(Time{us})), Time{us});
}

}  // namespace
