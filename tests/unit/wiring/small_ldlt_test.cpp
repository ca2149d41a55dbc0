// SPDX-License-Identifier: BSD-3-Clause
// Expected numbers are worked out by hand.
#include "twintrack/wiring/small_ldlt.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <type_traits>

#include "support/draw.hpp"

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

/// The one whose size the compiler knows has the bits of the other, with any number of rows kept, and refuses the same.
TEST(SmallLdlt, OfAKnownSizeHasTheSameBits) {
    constexpr std::integral_constant<int, 6> known{};
    support::Draw draw(1);
    int refused = 0;
    std::array<double, 36> a{};
    const auto fill = [&](std::size_t from, double diagonal) {
        for (std::size_t k = from; k < a.size(); ++k) a[k] = draw.uniform(-1.0, 1.0) + (k % 7 == 0 ? diagonal : 0.0);
    };
    for (int trial = 0; trial < 300; ++trial) {
        std::array<double, 6> inverse{}, row{}, x{};
        for (double& v : x) v = draw.uniform(-1.0, 1.0);
        fill(0, 2.5);
        auto b = a;
        auto inverse_b = inverse, x_b = x;
        const bool good = ldlt_factor(a.data(), inverse.data(), row.data(), 6);
        ASSERT_EQ(ldlt_factor(b.data(), inverse_b.data(), row.data(), known), good);
        if (!good) {
            ++refused;
            continue;
        }
        ASSERT_EQ(a, b);
        ASSERT_EQ(inverse, inverse_b);
        const int kept = trial % 7;
        fill(6 * static_cast<std::size_t>(kept), 4.0);
        std::copy(a.begin(), a.end(), b.begin());
        ASSERT_EQ(ldlt_factor(b.data(), inverse_b.data(), row.data(), known, kept),
                  ldlt_factor(a.data(), inverse.data(), row.data(), 6, kept));
        ASSERT_EQ(a, b) << kept;
        ldlt_solve(a.data(), inverse.data(), x.data(), 6);
        ldlt_solve(b.data(), inverse_b.data(), x_b.data(), known);
        ASSERT_EQ(x, x_b);
    }
    EXPECT_GT(refused, 10);
    EXPECT_LT(refused, 290);
}

}  // namespace
