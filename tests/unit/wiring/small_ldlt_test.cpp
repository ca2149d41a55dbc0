// SPDX-License-Identifier: BSD-3-Clause
// Expected numbers are worked out by hand.
#include "twintrack/wiring/small_ldlt.hpp"

#include <gtest/gtest.h>

#include <array>

namespace {

using namespace twintrack::wiring;

/// Whether a matrix of three rows is positive definite; only its lower triangle is read.
bool definite(std::array<double, 9> a) {
    std::array<double, 3> inverse{}, row{};
    return ldlt_factor(a.data(), inverse.data(), row.data(), 3);
}

TEST(SmallLdlt, SolvesWhatIsPositiveDefinite) {
    //     4  2  2      1              1 0 0      D = 4, 4, 4
    // A = 2  5  3,  x = 2,  L = ½ 1 0
    //     2  3  6      3              ½ ½ 1
    std::array<double, 9> a = {4.0, -1.0, -1.0, 2.0, 5.0, -1.0, 2.0, 3.0, 6.0};
    std::array<double, 3> inverse{}, row{}, x = {14.0, 21.0, 26.0};
    ASSERT_TRUE(ldlt_factor(a.data(), inverse.data(), row.data(), 3));
    EXPECT_EQ((std::array{a[0], a[4], a[8]}), (std::array{4.0, 4.0, 4.0}));
    EXPECT_EQ((std::array{a[3], a[6], a[7]}), (std::array{0.5, 0.5, 0.5}));
    EXPECT_EQ(inverse, (std::array{0.25, 0.25, 0.25}));
    ldlt_solve(a.data(), inverse.data(), x.data(), 3);
    EXPECT_EQ(x, (std::array{1.0, 2.0, 3.0}));
}

TEST(SmallLdlt, RefusesAPivotThatIsNotPositiveWhereverItStands) {
    EXPECT_TRUE(definite({1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0}));
    EXPECT_TRUE(definite({1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1e-300}));
    for (const std::size_t place : {0U, 4U, 8U})
        for (const double pivot : {0.0, -1e-300, -1.0}) {
            std::array<double, 9> a = {1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0};
            a[place] = pivot;
            EXPECT_FALSE(definite(a)) << place << ": " << pivot;
        }
    EXPECT_FALSE(definite({1.0, 0.0, 0.0, 2.0, 4.0, 0.0, 0.0, 0.0, 1.0})) << "singular: 4 − 2·2";
    EXPECT_FALSE(definite({1.0, 0.0, 0.0, 2.0, 3.0, 0.0, 0.0, 0.0, 1.0})) << "indefinite, each element positive";
    EXPECT_FALSE(definite({-1.0, 0.0, 0.0, 0.0, -1.0, 0.0, 0.0, 0.0, 1.0})) << "two wrong do not make one right";
}

}  // namespace
