// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/parameters.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

TEST(MonitorSetups, AreValidAndDiffer) {
    for (const auto& p : {MonitorParameters{}, strict(), graded(), careless(), unwatched()})
        EXPECT_NO_THROW(validate(p));
    EXPECT_LT(strict().correlation_limit, MonitorParameters{}.correlation_limit);
    EXPECT_TRUE(unwatched().reactions.empty());
    EXPECT_FALSE(careless().correlation.enabled);
    EXPECT_FALSE(careless().idle_speed.high.enabled);
    EXPECT_TRUE(strict().idle_speed.high.enabled);
    EXPECT_TRUE(strict().function_monitor.enabled);
}

}  // namespace
