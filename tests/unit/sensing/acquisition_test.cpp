// SPDX-License-Identifier: BSD-3-Clause
// Expected numbers are analytic (the equations in acquisition.hpp).
#include "twintrack/sensing/acquisition.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace twintrack;
using namespace twintrack::sensing;

constexpr Time tick = milliseconds(1);

Channel unfiltered(int bits, bool ratiometric = true) {
    return Channel({.filter_time = 0.0, .bits = bits, .ratiometric = ratiometric}, tick);
}

double code(double share, int bits) { return share * static_cast<double>((1 << bits) - 1); }

TEST(Channel, GivesWholeCodesHalvesToEven) {
    // A reference of 1023 V makes the voltage the code, so that halves are exact.
    for (const auto& [volts, expected] :
         {std::pair{0.5, 0.0}, {1.5, 2.0}, {2.5, 2.0}, {3.5, 4.0}, {511.4, 511.0}, {511.6, 512.0}, {1022.5, 1022.0}}) {
        Channel c = unfiltered(10);
        EXPECT_NEAR(code(c.sample(volts, 1023.0), 10), expected, 1e-9) << volts;
    }
}

TEST(Channel, EveryCodeIsReachedAndErrsByHalfACodeAtMost) {
    constexpr int bits = 10;
    const double full = (1 << bits) - 1;
    Channel c = unfiltered(bits);
    for (int k = 0; k <= (1 << bits) - 1; ++k) EXPECT_NEAR(code(c.sample(5.0 * k / full, 5.0), bits), k, 1e-9);
    for (double v = 0.0; v <= 5.0; v += 0.00137) EXPECT_LE(std::fabs(c.sample(v, 5.0) - v / 5.0), 0.5 / full + 1e-15);
}

TEST(Channel, IsHeldBetweenZeroAndFullScale) {
    Channel c = unfiltered(12);
    EXPECT_EQ(c.sample(-0.3, 5.0), 0.0);
    EXPECT_EQ(c.sample(5.4, 5.0), 1.0);
    EXPECT_EQ(c.sample(13.5, 0.0), 1.0);
    EXPECT_EQ(c.sample(0.0, 0.0), 0.0);
}

TEST(Channel, TheFilterIsExactForAHeldVoltage) {
    // v(n h) = 1 − exp(−n h/τ), here read through 16 bits: half a code is 7.6e-6.
    const double tau = 0.0025;
    Channel c({.filter_time = tau, .bits = 16}, tick);
    EXPECT_EQ(c.sample(0.0, 5.0), 0.0);
    for (int n = 1; n <= 20; ++n) EXPECT_NEAR(c.sample(5.0, 5.0), 1.0 - std::exp(-0.001 * n / tau), 7.7e-6) << n;
}

TEST(Channel, StartsSettled) {
    Channel c({.filter_time = 0.05, .bits = 16}, tick);
    EXPECT_NEAR(c.sample(2.0, 5.0), 0.4, 7.7e-6);
    EXPECT_NEAR(c.sample(2.0, 5.0), 0.4, 7.7e-6);
}

TEST(Channel, ARatiometricConverterForgivesTheReference) {
    // Test invariant of the literature (from memory): a ± 5 % supply must not move a ratiometric position.
    for (const double reference : {4.75, 5.0, 5.25}) {
        Channel ratiometric = unfiltered(12);
        Channel absolute = unfiltered(12, false);
        const double volts = 0.37 * reference;
        EXPECT_NEAR(ratiometric.sample(volts, reference), 0.37, 0.5 / 4095);
        EXPECT_NEAR(absolute.sample(volts, reference), 0.37 * reference / 5.0, 0.5 / 4095);
    }
}

TEST(Channel, RefusesWhatIsNotAConverter) {
    EXPECT_THROW(Channel({.bits = 40}, tick), InvalidParameter);
    EXPECT_THROW(Channel({.bits = 0}, tick), InvalidParameter);
    EXPECT_THROW(Channel({.filter_time = -1e-3}, tick), InvalidParameter);
    EXPECT_THROW(Channel({.filter_time = std::nan("")}, tick), InvalidParameter);
    EXPECT_THROW(Channel({.nominal_reference = INFINITY}, tick), InvalidParameter);
    EXPECT_THROW(Channel({}, Time{0}), InvalidParameter);
}

}  // namespace
