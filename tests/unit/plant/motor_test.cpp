// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/motor.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::plant;

// Analytic: the circuit equation by hand.
TEST(Motor, CurrentFollowsTheCircuitEquation) {
    const auto c = motor_coefficients({.resistance = 2.0, .inductance = 1e-3, .constant = 0.02, .gear_ratio = 20.0});
    EXPECT_NEAR(current_rate(c, 12.0, 3.0, 5.0), (12.0 - 2.0 * 3.0 - 0.4 * 5.0) / 1e-3, 1e-9);
}

// IEC 60028, "International standard of resistance for copper", 1925 (value from memory, as commonly listed):
// 0.00393 per kelvin at 20 °C.
TEST(Motor, CopperGainsResistanceWithTemperature) {
    const MotorParameters cold{.resistance = 1.5, .temperature = 20.0}, hot{.resistance = 1.5, .temperature = 120.0};
    EXPECT_DOUBLE_EQ(motor_coefficients(cold).resistance, 1.5);
    EXPECT_NEAR(motor_coefficients(hot).resistance, 1.5 * 1.393, 1e-12);
}

TEST(Motor, BrushesOpposeTheCurrentAndVanishWithIt) {
    const auto c = motor_coefficients({.brush_drop = 0.8});
    EXPECT_DOUBLE_EQ(brush_voltage(c, 0.0), 0.0);
    EXPECT_DOUBLE_EQ(brush_voltage(c, 0.05), 0.4);  // half the drop at the smoothing current
    EXPECT_NEAR(brush_voltage(c, 50.0), 0.8, 1e-3);
    EXPECT_DOUBLE_EQ(brush_voltage(c, -3.0), -brush_voltage(c, 3.0));
}

TEST(Motor, EveryFieldIsGuarded) { support::expect_every_field_guarded<MotorParameters>(); }

}  // namespace
