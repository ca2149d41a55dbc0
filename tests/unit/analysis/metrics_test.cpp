// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/analysis/metrics.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace {

using namespace twintrack::analysis;
using Signal = std::vector<double>;

const Signal time{0.0, 0.1, 0.2, 0.3, 0.4, 0.5};

TEST(Metrics, SwingIsLargestMinusSmallest) {
    EXPECT_DOUBLE_EQ(swing(Signal{1, -2, 3}), 5);
    EXPECT_DOUBLE_EQ(swing({}), 0);
}

TEST(Metrics, WindowIncludesItsEnds) {
    const Window w = window(time, 0.1, 0.3);
    EXPECT_EQ(w.first, 1u);
    EXPECT_EQ(w.last, 4u);
    EXPECT_TRUE(window(time, 0.6, 0.9).empty());
}

TEST(Metrics, ExcessCountsTheLongestUninterruptedTime) {
    const Signal a{0.0, 0.2, 0.3, 0.0, 0.2, 0.0}, zero(6, 0.0);
    const Excess e = excess(time, a, zero, 0.1);
    EXPECT_DOUBLE_EQ(e.largest, 0.3);
    EXPECT_DOUBLE_EQ(e.longest, 0.1);
    EXPECT_DOUBLE_EQ(e.longest_at, 0.1);
}

TEST(Metrics, ExcessAtTheLimitIsNotBeyondIt) {
    const Signal a(6, 0.1), zero(6, 0.0);
    EXPECT_DOUBLE_EQ(excess(time, a, zero, 0.1).longest, 0.0);
    EXPECT_NEAR(excess(time, a, zero, 0.0999).longest, 0.5, 1e-15);
}

TEST(Metrics, SettlingTimeOfAFirstOrderStep) {
    // Analytic: 1 − e^{−t/τ} enters ± 2 % at t = τ ln 50.
    Signal t, y;
    for (int k = 0; k <= 10000; ++k) {
        t.push_back(1e-3 * k);
        y.push_back(1.0 - std::exp(-t.back()));
    }
    const auto settled = settling_time(t, y, 1.0, 0.02, {0, t.size()});
    ASSERT_TRUE(settled.has_value());
    EXPECT_NEAR(*settled, std::log(50.0), 1e-3);
}

TEST(Metrics, WhatLeavesTheBandAtTheEndNeverSettles) {
    const Signal y{1, 1, 1, 1, 1, 2};
    EXPECT_FALSE(settling_time(time, y, 1.0, 0.1, {0, 6}).has_value());
    EXPECT_FALSE(settling_time(time, y, 1.0, 0.1, {3, 3}).has_value());
}

TEST(Metrics, OvershootOfADownwardStep) {
    const Signal y{1.0, 0.4, -0.1, 0.0, 0.0, 0.0};
    EXPECT_NEAR(overshoot(y, 1.0, 0.0, {0, 6}), 0.1, 1e-15);
    EXPECT_DOUBLE_EQ(overshoot(y, 1.0, 1.0, {0, 6}), 0.0);
}

TEST(Metrics, LargestDistance) {
    EXPECT_DOUBLE_EQ(largest_distance(Signal{0, 3, 0}, Signal{0, 1, 5}, {0, 2}), 2);
    EXPECT_DOUBLE_EQ(largest_distance(Signal{0, 3, 0}, Signal{0, 1, 5}, {2, 2}), 0);
}

}  // namespace
