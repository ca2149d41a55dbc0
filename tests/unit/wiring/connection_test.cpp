// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/connection.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;

TEST(Connection, TheIdealOneChangesNothing) {
    const wiring::Sources s{.reference = 4.8,
                            .pedal = {0.15, 0.075, 0.0},
                            .throttle = {0.9, 0.1, 0.5},
                            .bridge = {6.0, 0.05, 12.0, plant::BridgeMode::drive}};
    const wiring::Ends e = wiring::ideal(s);
    EXPECT_EQ(e.reference, 4.8);
    for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
        EXPECT_DOUBLE_EQ(e.pedal[k], 4.8 * s.pedal[k]);
        EXPECT_DOUBLE_EQ(e.throttle[k], 4.8 * s.throttle[k]);
    }
    EXPECT_EQ(e.motor.voltage, 6.0);
    EXPECT_EQ(e.motor.resistance, 0.05);
    EXPECT_EQ(e.motor.current_limit, 12.0);
    EXPECT_EQ(e.motor.mode, plant::BridgeMode::drive);
}

}  // namespace
