// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/curve_collector.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace {

using namespace twintrack::control;

/// Moves from end to end in 2000 steps; track 1 runs from `a` to `b`, track 2 is a function of the position.
CurveCollector moved(double a, double b, const std::function<double(double)>& second) {
    CurveCollector collector;
    for (int k = 0; k <= 2000; ++k) {
        const double p = k / 2000.0;
        collector.add({a + (b - a) * p, second(p)});
    }
    return collector;
}

TEST(CurveCollector, RecoversStraightAndBentTracks) {
    const auto knee = [](double p) { return 0.1 + 0.8 * std::fmin(2.0 * p, 1.0); };
    const auto opposed = [](double p) { return 0.9 - 0.7 * p; };
    for (const auto& second : {std::function<double(double)>(knee), std::function<double(double)>(opposed)})
        for (const auto& [a, b] : {std::pair{0.15, 0.78}, {0.8, 0.25}}) {
            const auto curves = moved(a, b, second).curves({a, second(0)}, {b, second(1)}, 2);
            ASSERT_EQ(curves.size(), 2u);
            for (std::size_t i = 0; i < curve_knots; ++i) {
                const double p = static_cast<double>(i) / 32.0;
                EXPECT_NEAR(curves[0].curve[i], a + (b - a) * p, 1e-14);
                EXPECT_NEAR(curves[1].curve[i], second(p), 2.5e-3) << "knot " << i;  // a bin's width at the knee
            }
            EXPECT_NEAR(curves[1].start(), second(0), 1e-14);
            EXPECT_NEAR(curves[1].end(), second(1), 1e-14);
        }
}

TEST(CurveCollector, BridgesAJumpInAStraightLineAndReportsIt) {
    CurveCollector collector;
    for (int k = 0; k <= 2000; ++k) {
        const double p = k / 2000.0;
        if (p > 0.4 && p < 0.6) continue;
        collector.add({0.1 + 0.8 * p, 0.05 + 0.4 * p});
    }
    EXPECT_NEAR(collector.widest_gap(0.1, 0.9), 0.2, 0.01);
    const auto curves = collector.curves({0.1, 0.05}, {0.9, 0.45}, 2);
    EXPECT_NEAR(curves[1].curve[16], 0.25, 1e-3);
    collector.restart();
    EXPECT_EQ(collector.widest_gap(0.1, 0.9), 1.0);
}

TEST(CurveCollector, NothingButTheEndsIsAStraightLine) {
    const auto curves = CurveCollector().curves({0.1, 0.2, 0.3}, {0.9, 0.6, 0.1}, 3);
    ASSERT_EQ(curves.size(), 3u);
    EXPECT_NEAR(curves[2].curve[16], 0.2, 1e-14);
}

}  // namespace
