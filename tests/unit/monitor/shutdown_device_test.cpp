// SPDX-License-Identifier: BSD-3-Clause
// Student-competition rules 2024, IC.4.8.3 and IC.4.8.5 (seen in the published text): hard braking and throttle above
// 10 % for more than 1 s, loss of either signal for more than 100 ms, loss of power; reset by the master switch only.
#include "twintrack/monitor/shutdown_device.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

constexpr Time tick = milliseconds(1);

/// A throttle track of 0.5 V closed and 4.5 V open, trimmed to 10 %.
ShutdownDevice make() { return {{}, {0.5 + 0.10 * 4.0, true}, tick}; }

double throttle(double share) { return 0.5 + 4.0 * share; }

/// Ticks until it trips; −1: never.
int trips(ShutdownDevice& d, double brake, bool hard, double throttle_volts, double supply = 13.5, int most = 10000) {
    for (int n = 0; n < most; ++n)
        if (!d.step(brake, hard, throttle_volts, supply)) return n;
    return -1;
}

TEST(ShutdownDevice, HardBrakingAgainstAnOpenThrottle) {
    ShutdownDevice d = make();
    EXPECT_EQ(trips(d, 3.0, true, throttle(0.099), 13.5, 60000), -1) << "9.9 % for ever";
    for (int round = 0; round < 5; ++round) {
        EXPECT_EQ(trips(d, 3.0, true, throttle(0.101), 13.5, 1001), -1) << "exactly 1 s";
        EXPECT_EQ(trips(d, 3.0, false, throttle(0.101), 13.5, 1), -1) << "and a moment without";
    }
    EXPECT_EQ(trips(d, 3.0, true, throttle(0.101)), 1001);
    EXPECT_EQ(d.reason(), ShutdownDevice::Reason::brake_and_throttle);
    EXPECT_EQ(trips(d, 0.7, false, throttle(0.0)), 0) << "nothing resets it";
}

TEST(ShutdownDevice, AFallingTrackOpensDownwards) {
    ShutdownDevice d({}, {4.5 - 0.10 * 4.0, false}, tick);
    EXPECT_EQ(trips(d, 3.0, true, 4.5 - 0.099 * 4.0), -1);
    EXPECT_EQ(trips(d, 3.0, true, 4.5 - 0.101 * 4.0), 1001);
}

TEST(ShutdownDevice, EitherSignalLostForMoreThanATenthOfASecond) {
    for (const double lost : {0.0, 0.49, 4.51, 5.0}) {
        ShutdownDevice d = make();
        EXPECT_EQ(trips(d, lost, false, throttle(0.0), 13.5, 101), -1) << "exactly 100 ms";
        EXPECT_EQ(trips(d, 0.7, false, throttle(0.0), 13.5, 1), -1);
        EXPECT_EQ(trips(d, lost, false, throttle(0.0)), 101) << lost;
        EXPECT_EQ(d.reason(), ShutdownDevice::Reason::brake_signal);
    }
    for (const double lost : {0.0, 0.19, 4.81, 5.0}) {
        ShutdownDevice d = make();
        EXPECT_EQ(trips(d, 0.7, false, lost), 101) << lost;
        EXPECT_EQ(d.reason(), ShutdownDevice::Reason::throttle_signal);
    }
}

TEST(ShutdownDevice, DropsOutWithItsSupply) {
    ShutdownDevice d = make();
    EXPECT_EQ(trips(d, 0.7, false, throttle(0.0), 4.3), -1);
    EXPECT_EQ(trips(d, 0.7, false, throttle(0.0), 4.1), 0);
}

}  // namespace
