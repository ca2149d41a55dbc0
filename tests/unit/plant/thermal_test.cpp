// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/thermal.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::plant;

HeatState after(const ThermalParameters& p, HeatState x, double watts, double time, double h,
                HeatBooks* books = nullptr) {
    const int steps = static_cast<int>(std::lround(time / h));
    for (int k = 0; k < steps; ++k) x = warmed(p, x, watts * h, 0.0, h, books);
    return x;
}

/// A housing that nothing warms: the winding alone is of first order.
ThermalParameters cold_housing() {
    return {.winding_capacity = 15.0, .housing_capacity = 1e6, .winding_to_housing = 4.0, .ambient = 20.0};
}

// Analytic: T = T_a + P R (1 − exp(−t/RC)).
TEST(Thermal, AStepOfHeatFollowsTheClosedFormOfFirstOrder) {
    const ThermalParameters p = cold_housing();
    for (const double t : {1.0, 60.0, 180.0, 300.0}) {
        const double expected = 20.0 + 10.0 * 4.0 * (1.0 - std::exp(-t / 60.0));
        EXPECT_NEAR(after(p, {20.0, 20.0}, 10.0, t, 0.001).winding, expected, 2e-3)
            << t << " s (the housing itself warms by " << 10.0 * t / 1e6 << " K)";
    }
}

// Analytic: second order.
TEST(Thermal, HalfTheStepIsAQuarterOfTheError) {
    const ThermalParameters p;
    const double exact = after(p, {20.0, 20.0}, 10.0, 64.0, 0.001).winding;
    const double coarse = after(p, {20.0, 20.0}, 10.0, 64.0, 8.0).winding - exact;
    const double fine = after(p, {20.0, 20.0}, 10.0, 64.0, 4.0).winding - exact;
    EXPECT_NEAR(coarse / fine, 4.0, 0.6);
}

// By hand: 5 W through 4 + 6 K/W make 50 K, through 6 K/W 30 K.
TEST(Thermal, SteadyTemperaturesFollowFromTheResistances) {
    const HeatState x = after({}, {25.0, 25.0}, 5.0, 20000.0, 1.0);
    EXPECT_NEAR(x.winding, 75.0, 1e-6);
    EXPECT_NEAR(x.housing, 55.0, 1e-6);
}

// Analytic: what one node loses the other takes.
TEST(Thermal, NoHeatIsLost) {
    const ThermalParameters p;
    HeatBooks books;
    const HeatState x = after(p, {20.0, 40.0}, 30.0, 100.0, 0.01, &books);
    const double kept = p.winding_capacity * (x.winding - 20.0) + p.housing_capacity * (x.housing - 40.0);
    EXPECT_NEAR(books.taken, 3000.0, 1e-6);
    EXPECT_NEAR(kept, books.taken - books.given, 1e-9 * books.taken);
}

// IEC 60028: 0.00393 per kelvin; the magnet's coefficient as described.
TEST(Thermal, ResistanceAndTorqueFollow) {
    const MotorParameters cold;
    const MotorParameters hot = at_temperature(cold, {}, {120.0, 70.0});
    EXPECT_NEAR(motor_coefficients(hot).resistance, 1.8 * 1.393, 1e-12);
    EXPECT_NEAR(hot.constant, 0.018 * 0.9, 1e-12);
    EXPECT_EQ(at_temperature(cold, {}, {20.0, 20.0}).constant, cold.constant) << "as described, to the last bit";
}

TEST(Thermal, TheCurrentIsTakenBackBeforeTheLimit) {
    const ThermalParameters p;
    EXPECT_EQ(current_share(p, 130.0), 1.0);
    EXPECT_DOUBLE_EQ(current_share(p, 142.5), 0.5);
    EXPECT_EQ(current_share(p, 155.0), 0.0);
    EXPECT_EQ(current_share(p, 300.0), 0.0);
}

TEST(Thermal, BadValuesAreRefused) {
    support::expect_every_field_guarded<ThermalParameters>();
    support::expect_refused<ThermalParameters>("part.winding_limit", [](auto& p) { p.derate_from = p.winding_limit; });
}

}  // namespace
