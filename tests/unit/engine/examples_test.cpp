// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/examples.hpp"

#include <gtest/gtest.h>

#include "twintrack/engine/idle_governor.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::engine;

TEST(Examples, AllAreValid) {
    for (const auto& example : {small_four(), large_eight()}) {
        EXPECT_NO_THROW((void)coefficients(example.engine));
        EXPECT_NO_THROW((void)plant::air_path_coefficients(example.air_path));
        EXPECT_NO_THROW(IdleGovernor(example.idle, milliseconds(1)));
    }
    EXPECT_NO_THROW((void)coefficients(course_five()));
}

// Heywood, Internal Combustion Engine Fundamentals, 1988, eq. 13.6 (from memory): motored friction with pumping at wide
// open throttle 0.97 + 0.15 N/1000 + 0.05 (N/1000)² bar, for engines of the 1980s; the invented ones lie up to 40 %
// below, never above.
TEST(Examples, FrictionIsNearThePublishedCurve) {
    for (const auto& example : {small_four(), large_eight()}) {
        const auto c = coefficients(example.engine);
        for (const double thousands : {1.0, 2.0, 3.0, 4.0, 5.0}) {
            const double speed = thousands * 1000.0 * pi / 30.0;
            const double torque =
                friction_torque(c.rotation, speed, 1.0) + pumping_torque(c.cylinders, 95000.0, 101325.0);
            const double pressure = torque * 4.0 * pi / example.engine.cylinders.displacement * 1e-5;
            const double published = 0.97 + 0.15 * thousands + 0.05 * thousands * thousands;
            EXPECT_LT(pressure, published) << thousands;
            EXPECT_GT(pressure, 0.6 * published) << thousands;
        }
    }
}

// The blade must be able to pass less than idling needs and more than the largest the governor asks for.
TEST(Examples, TheBladeCanGiveTheIdleAir) {
    for (const auto& example : {small_four(), large_eight()}) {
        const auto c = plant::air_path_coefficients(example.air_path);
        EXPECT_LT(example.air_path.leak_area, 0.6 * example.idle.target.area.back());
        EXPECT_LT(plant::angle_for_area(c, example.idle.air.most), 0.2);
        const double warm = plant::angle_for_area(c, example.idle.target.area.back());
        EXPECT_GT(warm, 0.005);  // rad above the closed stop
        EXPECT_LT(warm, 0.06);
    }
}

}  // namespace
