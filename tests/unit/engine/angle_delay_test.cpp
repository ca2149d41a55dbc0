// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/angle_delay.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using twintrack::engine::AngleDelay;

constexpr double turn = 6.283185307179586;

// Analytic: a value that is linear in the angle comes out delayed by the angle, at any pace of writing.
TEST(AngleDelay, DelaysByTheAngle) {
    for (const double pace : {0.003, 0.0717, 0.9}) {
        AngleDelay delay(turn, 0.0);
        double angle = 0.0;
        for (int k = 0; k < 400; ++k) {
            angle = k * pace;
            delay.write(angle, 2.0 + 3.0 * angle);
        }
        if (angle < 1.2 * turn) continue;
        EXPECT_NEAR(delay.read(angle), 2.0 + 3.0 * (angle - turn), 1e-9) << pace;
        EXPECT_NEAR(delay.read(angle + 0.3), 2.0 + 3.0 * (angle + 0.3 - turn), 1e-9) << pace;
    }
}

TEST(AngleDelay, GivesTheInitialValueFirst) {
    AngleDelay delay(turn, 7.0);
    EXPECT_EQ(delay.read(0.0), 7.0);
    for (int k = 0; k <= 60; ++k) delay.write(0.1 * k, 1.0);
    EXPECT_EQ(delay.read(6.0), 7.0);  // still less than a turn
}

TEST(AngleDelay, NothingComesOutOfAnEngineThatStands) {
    AngleDelay delay(turn, 0.0);
    for (int k = 0; k <= 200; ++k) delay.write(0.1 * k, k < 150 ? 1.0 : 2.0);
    const double before = delay.read(20.0);
    for (int k = 0; k < 1000; ++k) delay.write(20.0, 5.0);
    EXPECT_EQ(delay.read(20.0), before);
    EXPECT_EQ(before, 1.0);
}

// What goes in comes out, whatever the speed does in between: the integral over the angle is kept.
TEST(AngleDelay, LosesNothingWhileTheSpeedChanges) {
    AngleDelay delay(turn, 0.0);
    double angle = 0.0, in = 0.0, out = 0.0;
    for (int k = 0; k < 20000; ++k) {
        const double step = 0.001 * (60.0 + 50.0 * std::sin(0.002 * k));
        const auto value = [](double a) { return a < 200.0 ? 1.0 + std::sin(0.2 * a) : 0.0; };
        delay.write(angle, value(angle));
        out += delay.read(angle + 0.5 * step) * step;
        in += value(angle + 0.5 * step) * step;
        angle += step;
    }
    EXPECT_NEAR(out / in, 1.0, 4e-4);  // the jump at 200 rad is smeared over one write
    EXPECT_GT(angle, 210.0);
}

TEST(AngleDelay, SurvivesAStepLongerThanItself) {
    AngleDelay delay(0.5, 0.0);
    for (int k = 0; k < 50; ++k) delay.write(3.0 * k, 4.0);
    EXPECT_DOUBLE_EQ(delay.read(147.0), 4.0);
}

}  // namespace
