// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/speed_limit.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "idle_rig.hpp"
#include "twintrack/core/error.hpp"

namespace {

using twintrack::engine::SpeedLimit;

TEST(SpeedLimit, CutsAboveAndGivesBelowTheHysteresis) {
    SpeedLimit limit(10.0);
    EXPECT_TRUE(limit.step(200.0, 200.0));
    EXPECT_FALSE(limit.step(200.1, 200.0));
    EXPECT_FALSE(limit.step(191.0, 200.0));
    EXPECT_TRUE(limit.step(190.0, 200.0));
    EXPECT_TRUE(limit.step(199.0, 200.0));
    EXPECT_FALSE(limit.step(199.0, 150.0));  // a reaction lowers the limit
}

TEST(SpeedLimit, RefusesABadHysteresis) {
    EXPECT_THROW(SpeedLimit(-1.0), twintrack::InvalidParameter);
    EXPECT_THROW(SpeedLimit{NAN}, twintrack::InvalidParameter);
}

// An unloaded engine with the throttle far open stays near the limit, not above it by more than one turn's fuel.
TEST(SpeedLimit, HoldsAnUnloadedEngine) {
    using namespace rig;
    Engine engine(EngineParameters{}, {});
    SpeedLimit limit(10.0);
    double most = 0.0, least = 1e9;
    for (int k = 0; k < 15000; ++k) {
        const bool fuel = limit.step(engine.speed(), 260.0);
        engine.step({.area = 200e-6, .starter = k < 3000, .fuel = fuel}, 1e-3);
        if (k > 6000) most = std::max(most, engine.speed()), least = std::min(least, engine.speed());
    }
    EXPECT_LT(most, 300.0);
    EXPECT_GT(least, 200.0);
}

}  // namespace
