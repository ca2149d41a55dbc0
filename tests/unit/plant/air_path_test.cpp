// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/air_path.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "support/dual.hpp"
#include "support/refusal.hpp"

namespace {

using namespace twintrack::plant;

constexpr double degree = twintrack::pi / 180.0;

/// Blade angle counted from the bore's normal, as the table counts it; the area is purely geometric.
AirPathParameters tabulated() {
    return {.bore = 0.057, .shaft = 0.010, .seat_angle = 7.0 * degree, .blade_zero = 7.0 * degree};
}

// The closed form of the header, derived from circle minus ellipse and shaft strip and confirmed by numerical
// integration to five digits: D 57 mm, d 10 mm, closed at 7°.
TEST(AirPath, GeometryTable) {
    constexpr std::array<std::array<double, 2>, 11> rows = {{{8, 5.84},
                                                             {9, 12.46},
                                                             {10, 19.85},
                                                             {12, 36.93},
                                                             {15, 68.27},
                                                             {20, 135.5},
                                                             {30, 324.4},
                                                             {40, 580.3},
                                                             {50, 895.1},
                                                             {60, 1257.5},
                                                             {70, 1649.7}}};
    const auto c = air_path_coefficients(tabulated());
    for (const auto& [angle, area] : rows)
        EXPECT_NEAR(open_area(c, angle * degree) * 1e6, area, area < 100 ? 0.006 : 0.06) << angle;
    for (const double angle : {79.97, 85.0, 90.0, 95.0})
        EXPECT_NEAR(open_area(c, angle * degree) * 1e6, 1984.7, 0.06) << angle;
}

// Independent of the closed form: strip by strip, circle less the wider of plate and shaft (numerical integration).
TEST(AirPath, AgreesWithIntegratingTheStrips) {
    const auto p = tabulated();
    const auto c = air_path_coefficients(p);
    for (const double angle : {10.0, 25.0, 45.0, 65.0, 78.0, 84.0}) {
        const double narrow = std::cos(angle * degree) / std::cos(p.seat_angle);
        const double radius = 0.5 * p.bore;
        constexpr int strips = 200000;
        double sum = 0.0;
        for (int k = 0; k < strips; ++k) {
            const double x = radius * (2.0 * (k + 0.5) / strips - 1.0);  // along the shaft
            const double half = std::sqrt(radius * radius - x * x);
            sum += 2.0 * (half - std::min(half, std::max(narrow * half, 0.5 * p.shaft))) * 2.0 * radius / strips;
        }
        EXPECT_NEAR(open_area(c, angle * degree) / sum, 1.0, 2e-6) << angle;
    }
}

TEST(AirPath, Limits) {
    const auto c = air_path_coefficients(tabulated());
    EXPECT_EQ(open_area(c, 7.0 * degree), 0.0);
    EXPECT_EQ(open_area(c, -3.0 * degree), 0.0);  // pressed beyond its seat
    EXPECT_DOUBLE_EQ(effective_area(c, 7.0 * degree), 3.0e-6);
    const double a = 10.0 / 57.0;
    const double share = 1.0 - 2.0 / twintrack::pi * (a * std::sqrt(1.0 - a * a) + std::asin(a));
    EXPECT_NEAR(open_area(c, 90.0 * degree) / (0.25 * twintrack::pi * 0.057 * 0.057), share, 1e-14);
}

// Analytic: without a shaft 1 − cos ψ/cos ψ₀ of the bore is open.
TEST(AirPath, WithoutShaft) {
    const auto c = air_path_coefficients({.bore = 0.05, .shaft = 0.0, .seat_angle = 0.1});
    for (const double opening : {0.01, 0.2, 0.9, 1.4})
        EXPECT_NEAR(open_area(c, opening) / (0.25 * twintrack::pi * 0.0025),
                    1.0 - std::cos(0.1 + opening) / std::cos(0.1), 1e-14);
    EXPECT_NEAR(open_area(c, 1.5), 0.25 * twintrack::pi * 0.0025, 1e-14);
}

TEST(AirPath, AreaNeverFallsWithTheAngle) {
    const auto c = air_path_coefficients({});
    double last = effective_area(c, -0.01);
    for (int k = -9; k <= 1600; ++k) {
        const double now = effective_area(c, 0.001 * k);
        ASSERT_GE(now, last - 1e-18) << k;
        last = now;
    }
}

TEST(AirPath, AngleForAreaIsTheInverse) {
    const auto c = air_path_coefficients({});
    for (const double angle : {0.001, 0.02, 0.3, 1.0})
        EXPECT_NEAR(angle_for_area(c, effective_area(c, angle)), angle, 1e-9);
    EXPECT_NEAR(angle_for_area(c, 0.0), 0.0, 1e-12);
    EXPECT_NEAR(angle_for_area(c, 1.0), 0.5 * twintrack::pi - 0.087, 1e-12);
}

// Form from memory: closes, vanishes closed and fully open, of the order of 0.02 to 0.1 N·m for a 55 … 60 mm blade at
// 60 kPa (a weak figure).
TEST(AirPath, AirTorqueClosesTheBlade) {
    const auto c = air_path_coefficients({.bore = 0.057});
    EXPECT_EQ(air_torque(c, 0.0, 6e4), 0.0);
    EXPECT_NEAR(air_torque(c, 0.5 * twintrack::pi - 0.087, 6e4), 0.0, 1e-15);
    const double middle = air_torque(c, 0.7, 6e4);
    EXPECT_LT(middle, -0.02);
    EXPECT_GT(middle, -0.1);
    EXPECT_DOUBLE_EQ(air_torque(c, 0.7, -6e4), -middle);
}

TEST(AirPath, RunsOnDualNumbers) {
    const auto c = air_path_coefficients({});
    const AirPathCoefficients<support::Dual> lifted{c.seat,       c.zero,      c.seat_cosine,      c.shaft_share,
                                                    c.shaft_term, c.bore_area, c.discharge_closed, c.discharge_per_area,
                                                    c.leak,       c.torque};
    const support::Dual angle(0.4, 0);
    const double slope = effective_area(lifted, angle).slope[0];
    EXPECT_NEAR(slope / ((effective_area(c, 0.4 + 1e-6) - effective_area(c, 0.4 - 1e-6)) / 2e-6), 1.0, 1e-7);
}

TEST(AirPath, EveryFieldIsGuarded) { support::expect_every_field_guarded<AirPathParameters>(); }

TEST(AirPath, RefusesAShaftThatFillsTheBore) {
    support::expect_refused<AirPathParameters>("part.shaft", [](auto& p) { p.shaft = p.bore; });
    support::expect_refused<AirPathParameters>("part.discharge_open", [](auto& p) { p.discharge_open = 0.2; });
}

}  // namespace
