// SPDX-License-Identifier: BSD-3-Clause
#include <gtest/gtest.h>

#include <bit>
#include <cmath>

#include "lanes/noise.hpp"
#include "twintrack/core/random.hpp"
#include "twintrack/lanes/exp2.hpp"

namespace {

using namespace twintrack;

using Lanes = lanes::Pack<2, 2>;

/// Every lane takes its own value of `make(lane)`.
template <class Make>
Lanes each(Make&& make) {
    Lanes p;
    for (int lane = 0; lane < Lanes::lanes; ++lane) p.r[lane / 2][lane % 2] = make(lane);
    return p;
}

TEST(LaneNoise, HasTheBitsOfTheStream) {
    const auto key = [](std::uint32_t word) { return std::bit_cast<double>(std::uint64_t{word}); };
    const auto seed_of = [](int lane) { return 0xFFFFFFF0U + static_cast<std::uint32_t>(7 * lane); };
    const auto case_of = [](int lane) { return 1000003U * static_cast<std::uint32_t>(lane); };
    const Lanes seed = each([&](int lane) { return key(seed_of(lane)); });
    const Lanes number = each([&](int lane) { return key(case_of(lane)); });
    for (const std::uint32_t first : {0U, 16U})
        for (const double tick : {0.0, 1.0, 9999.0, 4294967295.0}) {
            Lanes out[3];
            normals(out, seed, number, Lanes(tick), first);
            for (std::uint32_t n = 0; n < 3; ++n)
                for (int lane = 0; lane < Lanes::lanes; ++lane) {
                    const NoiseStream stream(seed_of(lane), case_of(lane), first + n);
                    EXPECT_EQ(out[n].r[lane / 2][lane % 2], stream.normal(static_cast<std::uint64_t>(tick)))
                        << first + n << " at " << tick;
                }
        }
}

// The C library's exp2 beside it.
TEST(Bell, IsThePowerOfTwo) {
    for (double y = 0.0; y > -60.0; y -= 0.0137) {
        EXPECT_NEAR(lanes::exp2_nonpositive(y) / std::exp2(y), 1.0, 8e-9) << y;
        EXPECT_EQ(lanes::exp2_nonpositive(Lanes(y)).r[1][1], lanes::exp2_nonpositive(y)) << y;
    }
    EXPECT_EQ(lanes::exp2_nonpositive(0.0), 1.0);
    EXPECT_LT(lanes::exp2_nonpositive(-1e300), 1e-300);
    EXPECT_GE(lanes::exp2_nonpositive(-1e300), 0.0);
}

}  // namespace
