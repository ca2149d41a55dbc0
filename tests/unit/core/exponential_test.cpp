// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/exponential.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

TEST(Exponential, AgreesWithTheCLibraryToTwoUnits) {
    for (int k = -6000; k <= 6000; ++k) {
        const double x = 0.1 * k + 0.0137;
        const double expected = std::exp(x);
        EXPECT_NEAR(twintrack::exponential(x), expected, 2 * (std::nextafter(expected, INFINITY) - expected))
            << "x = " << x;
    }
}

TEST(Exponential, IsExactAtZeroAndHeldFarOut) {
    EXPECT_EQ(twintrack::exponential(0.0), 1.0);
    EXPECT_EQ(twintrack::exponential(-1e9), twintrack::exponential(-700.0));
    EXPECT_GT(twintrack::exponential(-1e9), 0.0);
}

/// Near zero the number is the same power of two times the same series, without the detour.
TEST(Exponential, HasTheBitsOfItsLawEverywhere) {
    for (int k = -7000; k <= 7000; ++k)
        for (const double x : {1e-4 * k, 1e-7 * k, 0.34 + 1e-16 * k, -0.34 + 1e-16 * k})
            ASSERT_EQ(twintrack::exponential(x), twintrack::detail::exponential_law(x)) << "x = " << x;
}

TEST(Exponential, PassesOnWhatIsNotANumber) { EXPECT_TRUE(std::isnan(twintrack::exponential(NAN))); }

}  // namespace
