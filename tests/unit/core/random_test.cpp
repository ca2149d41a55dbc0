// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/random.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using twintrack::NoiseStream;
using twintrack::philox;

// Known-answer vectors of the Random123 distribution (Salmon et al., SC'11), from memory; the generator's defining
// paper lists the same constants and rounds.
TEST(Philox, KnownAnswers) {
    EXPECT_EQ(philox({0, 0, 0, 0}, {0, 0}),
              (std::array<std::uint32_t, 4>{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}));
    EXPECT_EQ(philox({0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff}, {0xffffffff, 0xffffffff}),
              (std::array<std::uint32_t, 4>{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}));
    EXPECT_EQ(philox({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}),
              (std::array<std::uint32_t, 4>{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}));
}

TEST(NoiseStream, MomentsAndIndependence) {
    const NoiseStream a(1, 2, 3), b(1, 2, 4);
    const int n = 200000;
    double sum = 0, square = 0, fourth = 0, cross = 0;
    for (int k = 0; k < n; ++k) {
        const double x = a.normal(static_cast<std::uint64_t>(k));
        sum += x, square += x * x, fourth += x * x * x * x, cross += x * b.normal(static_cast<std::uint64_t>(k));
    }
    EXPECT_NEAR(sum / n, 0.0, 5 / std::sqrt(n));
    EXPECT_NEAR(square / n, 1.0, 0.02);
    EXPECT_NEAR(fourth / n, 3.0 - 1.2 / 8, 0.06);  // excess kurtosis of a sum of eight uniforms: −1.2/8
    EXPECT_NEAR(cross / n, 0.0, 5 / std::sqrt(n));
}

TEST(NoiseStream, IsAFunctionOfItsKeysAlone) {
    EXPECT_EQ(NoiseStream(7, 8, 9).normal(1234), NoiseStream(7, 8, 9).normal(1234));
    EXPECT_NE(NoiseStream(7, 8, 9).normal(1234), NoiseStream(7, 9, 9).normal(1234));
}

}  // namespace
