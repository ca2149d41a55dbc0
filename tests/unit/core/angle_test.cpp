// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/angle.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

// Beside the C library's functions.
TEST(Angle, CosineAgreesWithTheCLibrary) {
    for (int k = -1571; k <= 1571; ++k) {
        const double x = 0.001 * k;
        ASSERT_NEAR(twintrack::cosine(x), std::cos(x), 4e-16) << x;
    }
    EXPECT_NEAR(twintrack::cosine(3.0), std::cos(3.0), 1e-11);
    EXPECT_EQ(twintrack::cosine(0.0), 1.0);
}

TEST(Angle, ArcsineAgreesWithTheCLibrary) {
    for (int k = 0; k <= 4000; ++k) {
        const double x = k / 4000.0;
        ASSERT_NEAR(twintrack::arcsine(x), std::asin(x), 1e-15) << x;
    }
    EXPECT_EQ(twintrack::arcsine(0.0), 0.0);
    EXPECT_DOUBLE_EQ(twintrack::arcsine(1.0), 0.5 * twintrack::pi);
}

TEST(Angle, ArcsineHasNoStepWhereItChangesItsForm) {
    const double half = 0.5;
    EXPECT_NEAR(twintrack::arcsine(half), twintrack::arcsine(std::nextafter(half, 1.0)), 5e-16);
}

}  // namespace
