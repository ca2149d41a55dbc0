// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/logarithm.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

double unit_in_last_place(double x) { return std::nextafter(std::fabs(x), INFINITY) - std::fabs(x); }

// Beside the C library's function.
TEST(Logarithm, AgreesWithTheCLibraryToTwoUnits) {
    for (int k = -7000; k <= 7000; ++k) {
        const double x = std::exp(0.1 * k + 0.0137);
        const double expected = std::log(x);
        ASSERT_NEAR(twintrack::logarithm(x), expected, 2 * unit_in_last_place(expected)) << x;
    }
    for (int k = 1; k <= 4000; ++k) {
        const double x = 0.5 + 0.0005 * k;
        const double expected = std::log(x);
        ASSERT_NEAR(twintrack::logarithm(x), expected, 2 * unit_in_last_place(expected)) << x;
    }
}

TEST(Logarithm, ExactAtOneAndHeldAtTheEnds) {
    EXPECT_EQ(twintrack::logarithm(1.0), 0.0);
    EXPECT_NEAR(twintrack::logarithm(0.0), -1022.0 * std::log(2.0), 1e-12);
    EXPECT_NEAR(twintrack::logarithm(INFINITY), 1022.0 * std::log(2.0), 1e-12);
    EXPECT_TRUE(std::isnan(twintrack::logarithm(NAN)));
}

TEST(Power, AgreesWithTheCLibrary) {
    for (const double x : {1e-3, 0.1, 0.5, 0.9, 0.999, 1.0, 1.5, 40.0})
        for (const double y : {-2.0, 0.714285714, 1.0, 1.35})
            EXPECT_NEAR(twintrack::power(x, y) / std::pow(x, y), 1.0, 4e-15) << x << " ^ " << y;
}

}  // namespace
