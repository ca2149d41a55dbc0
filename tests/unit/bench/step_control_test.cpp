// SPDX-License-Identifier: BSD-3-Clause
#include "../../../lib/bench/step_control.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace twintrack::bench {
namespace {

// Reference: the C library's pow.
TEST(StepControl, RootIsWithinThreeInAHundredThousand) {
    for (double x = 3.2e-4; x < 1e4; x *= 1.0007)
        EXPECT_NEAR(inverse_fifth_root(x) / std::pow(x, -0.2), 1.0, 3e-5) << x;
}

TEST(StepControl, GrowsBelowHalfTheToleranceAndShrinksAboveIt) {
    const StepAdjuster adjust;
    EXPECT_EQ(adjust.increase_step(1e-4, 0.5, 5), 1e-4);
    EXPECT_EQ(adjust.increase_step(1e-4, 1.0, 5), 1e-4);
    EXPECT_NEAR(adjust.increase_step(1e-4, 0.4999, 5), 0.9e-4 * std::pow(0.4999, -0.2), 1e-8);
    EXPECT_NEAR(adjust.increase_step(1e-4, 0.0, 5), 4.5e-4, 1e-7);  // at most
    EXPECT_NEAR(adjust.decrease_step(1e-4, 2.0, 4), 0.9e-4 * std::pow(2.0, -0.2), 1e-8);
    EXPECT_EQ(adjust.decrease_step(1e-4, 1e300, 4), 0.2e-4);  // at least
    EXPECT_EQ(adjust.decrease_step(1e-4, INFINITY, 4), 0.2e-4);
}

}  // namespace
}  // namespace twintrack::bench
