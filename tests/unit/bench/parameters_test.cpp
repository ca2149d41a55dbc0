// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/parameters.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace {

using twintrack::InvalidParameter;
using twintrack::validate;
using twintrack::bench::BenchParameters;

TEST(BenchParameters, DefaultsAreValid) { EXPECT_NO_THROW(validate(BenchParameters{})); }

TEST(BenchParameters, ErrorsNameTheValueByItsPath) {
    BenchParameters p;
    p.body.tracks[1].noise = std::numeric_limits<double>::quiet_NaN();
    try {
        validate(p);
        FAIL() << "a NaN was accepted";
    } catch (const InvalidParameter& e) {
        EXPECT_EQ(e.where(), "body.tracks[2].noise");
    }
}

TEST(BenchParameters, PeriodsFitTheClock) {
    BenchParameters p;
    p.control_period = 0.00100005;
    EXPECT_THROW(validate(p), InvalidParameter);
    p.control_period = 0.001;
    p.record_period = 0.0015;
    EXPECT_THROW(validate(p), InvalidParameter);
    p.record_period = 0.005;
    EXPECT_NO_THROW(validate(p));
}

}  // namespace
