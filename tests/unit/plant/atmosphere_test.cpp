// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/atmosphere.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack::plant;

// U.S. Standard Atmosphere, 1976, NOAA, NASA and USAF, Washington (constants from memory); computed from them.
TEST(Atmosphere, Table) {
    constexpr std::array<std::array<double, 3>, 6> rows = {{{500, 95460.8, 1.1673},
                                                            {1000, 89874.6, 1.1116},
                                                            {1500, 84556.0, 1.0581},
                                                            {2000, 79495.2, 1.0065},
                                                            {2500, 74682.5, 0.9569},
                                                            {3000, 70108.5, 0.9091}}};
    for (const auto& [altitude, pressure, density] : rows) {
        const Air air = standard_atmosphere(altitude);
        EXPECT_NEAR(air.pressure, pressure, 0.06) << altitude;
        EXPECT_NEAR(air.pressure / (gas_constant * air.temperature), density, 6e-5) << altitude;
    }
    EXPECT_DOUBLE_EQ(standard_atmosphere(0.0).pressure, 101325.0);
    EXPECT_NEAR(standard_atmosphere(11000.0).pressure, 22632.0, 1.0);  // the same notes, at the tropopause
    EXPECT_NEAR(standard_atmosphere(11000.0).temperature, 216.65, 1e-9);
}

TEST(Atmosphere, RefusesWhatItDoesNotCover) {
    EXPECT_THROW((void)standard_atmosphere(-1001.0), twintrack::InvalidParameter);
    EXPECT_THROW((void)standard_atmosphere(11001.0), twintrack::InvalidParameter);
    EXPECT_THROW((void)standard_atmosphere(NAN), twintrack::InvalidParameter);
}

}  // namespace
