// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/surroundings.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

TEST(AirFlow, MoreThanTheOpeningCanPass) {
    AirFlowParameters p;
    p.opening = {0.0, 0.5, 1.0};
    p.flow = {0.001, 0.05, 0.12};
    const AirFlowCheck c(p);
    EXPECT_FALSE(c.too_much(0.5, 0.05 * 1.3 + 0.0019));
    EXPECT_TRUE(c.too_much(0.5, 0.05 * 1.3 + 0.0021));
    EXPECT_FALSE(c.too_much(1.0, 0.05 * 1.3 + 0.0021));
    EXPECT_FALSE(AirFlowCheck({}).too_much(0.0, 1.0)) << "without a table it cannot say";
}

TEST(AirFlow, TheTableMustBeOne) {
    AirFlowParameters p;
    p.opening = {0.0, 0.5};
    p.flow = {0.001};
    EXPECT_THROW(validate(p, "air_flow"), InvalidParameter);
    p.flow = {0.001, 0.05};
    EXPECT_NO_THROW(validate(p, "air_flow"));
    p.opening = {0.5, 0.5};
    EXPECT_THROW(validate(p, "air_flow"), InvalidParameter);
}

}  // namespace
