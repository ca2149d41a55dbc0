// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/cylinders.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::engine;

// Analytic: the equations of the header by hand, with the C library's power.
TEST(Cylinders, SpeedDensity) {
    const CylinderParameters p{.displacement = 2e-3,
                               .compression_ratio = 10.0,
                               .filling_constant = 0.7,
                               .filling_linear = 1e-3,
                               .filling_quadratic = 0.0,
                               .air_share = 1.0};
    const auto c = cylinder_coefficients(p);
    const double by_pressure = 1.0 + (1.0 - std::pow(1e5 / 3e4, 1.0 / 1.35)) / 9.0;
    EXPECT_NEAR(filling(c, 3e4, 1e5, 100.0), by_pressure * 0.8, 1e-14);
    const double flow = 0.8 * by_pressure * 3e4 / (287.053 * 300.0) * 2e-3 * 100.0 / (4.0 * twintrack::pi);
    EXPECT_NEAR(charge_per_radian(c, 3e4, 300.0, 1e5, 100.0) * 100.0, flow, 1e-15);
}

TEST(Cylinders, NothingIsDrawnInAgainstTooMuchResidualGas) {
    const auto c = cylinder_coefficients({});
    EXPECT_EQ(filling(c, 3e3, 1e5, 70.0), 0.0);
    EXPECT_GT(filling(c, 6e3, 1e5, 70.0), 0.0);
    EXPECT_EQ(filling(c, 5e4, 1e5, 5000.0), 0.0);  // the polynomial has turned negative
}

// Guzzella & Onder idle-speed case (parabola k 2.3345e-4 per square degree; course Engine Systems, ETH Zürich, 2017):
// −10, −20, −25° from best torque give 0.977, 0.907, 0.854.
TEST(Cylinders, SparkEfficiency) {
    constexpr double degree = twintrack::pi / 180.0;
    const auto c = cylinder_coefficients({.spark_loss = 2.3345e-4 / (degree * degree)});
    EXPECT_NEAR(spark_efficiency(c, 10.0 * degree), 0.977, 5e-4);
    EXPECT_NEAR(spark_efficiency(c, 20.0 * degree), 0.907, 5e-4);
    EXPECT_NEAR(spark_efficiency(c, 25.0 * degree), 0.854, 5e-4);
    EXPECT_EQ(spark_efficiency(c, 2.0), 0.0);
}

// Analytic: torque times speed is the share η of the fuel's heat flow.
TEST(Cylinders, IndicatedPowerIsAShareOfTheHeatOfTheFuel) {
    const auto c = cylinder_coefficients({.efficiency_constant = 0.3, .efficiency_linear = 1e-4});
    const double fuel = 2e-6, speed = 100.0;
    EXPECT_NEAR(indicated_torque(c, fuel, 0.9, speed) * speed, 0.31 * 0.9 * 42.5e6 * fuel * speed, 1e-9);
}

// Analytic: the pumping loop's work over two turns is (p_e − p) V_d.
TEST(Cylinders, PumpingWork) {
    const auto c = cylinder_coefficients({.displacement = 2e-3});
    EXPECT_NEAR(pumping_torque(c, 3e4, 1e5) * 4.0 * twintrack::pi, 7e4 * 2e-3, 1e-10);
}

TEST(Cylinders, EveryFieldIsGuarded) { support::expect_every_field_guarded<CylinderParameters>(); }

}  // namespace
