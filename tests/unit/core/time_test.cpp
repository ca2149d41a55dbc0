// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/time.hpp"

#include <gtest/gtest.h>

namespace {

using twintrack::from_seconds;
using twintrack::Time;

TEST(Time, IsAWholeNumberOfMicroseconds) {
    EXPECT_EQ(from_seconds(0.001), twintrack::milliseconds(1));
    EXPECT_EQ(from_seconds(1.4e-6), Time{1});
    EXPECT_EQ(from_seconds(1.6e-6), Time{2});
    EXPECT_EQ(from_seconds(-1.6e-6), Time{-2});
}

TEST(Time, ThereAndBackIsExactToAHundredHours) {
    for (std::int64_t us = 1; us < 360'000'000'000; us = us * 3 + 1)
        EXPECT_EQ(from_seconds(twintrack::seconds(Time{us})), Time{us});
}

}  // namespace
