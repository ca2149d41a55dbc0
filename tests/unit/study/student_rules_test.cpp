// SPDX-License-Identifier: BSD-3-Clause
// Student-competition rules 2024 v1.0 on brake, unpowered blade and shutdown, at their boundaries (read in the
// published text).
#include <gtest/gtest.h>

#include "made.hpp"

namespace {

using namespace support;

// IC.4.7.1: a second for the power and a second for the engine.
TEST(StudentRules, ASecondAfterThePowerTheEngineStopsBehindBrakeAndThrottle) {
    const auto judged = [](int length, double fuel) {
        return verdict("engine stops behind brake and throttle",
                       made(2500, {{"brake.applied", pulse(1.0, length)},
                                   {"blade.opening", [](int) { return 0.201; }},
                                   {"braking_opening", [](int) { return 0.2; }},
                                   {"engine.fuel", [=](int) { return fuel; }}}))
            .finding;
    };
    EXPECT_EQ(judged(1001, 1.0), Finding::failed);
    EXPECT_EQ(judged(1000, 1.0), Finding::passed);
    EXPECT_EQ(judged(1001, 0.0), Finding::passed);
}

TEST(StudentRules, ABrakeSensorOutsideItsBandForMoreThanATenthOfASecond) {
    const auto judged = [](double volts, int length, double duty) {
        return verdict("brake sensor in band",
                       made(1500, {{"brake.outside", pulse(volts, length)}, {"duty", [=](int) { return duty; }}}))
            .finding;
    };
    EXPECT_EQ(judged(0.01, 101, 0.3), Finding::failed);
    EXPECT_EQ(judged(0.01, 100, 0.3), Finding::passed);
    EXPECT_EQ(judged(0.0, 900, 0.3), Finding::passed);
    EXPECT_EQ(judged(0.01, 101, 0.0), Finding::passed);
}

// IC.4.1.1; the second is that of IC.4.7.2.
TEST(StudentRules, WithoutPowerForASecondTheBladeIsClosed) {
    const auto judged = [](double opening, int back) {
        return verdict("closes without power",
                       made(2500, {{"blade.opening", [=](int) { return opening; }},
                                   {"default_opening", [](int) { return 0.08; }},
                                   {"duty", [=](int ms) { return ms < 500 || ms >= back ? 0.3 : 0.0; }}}))
            .finding;
    };
    EXPECT_EQ(judged(0.101, 1501), Finding::failed);
    EXPECT_EQ(judged(0.101, 1500), Finding::not_applicable) << "999 ms";
    EXPECT_EQ(judged(0.099, 2500), Finding::passed);
}

// IC.9.2.2
TEST(StudentRules, AShutdownTakesFuelIgnitionAndThePowerOfTheThrottle) {
    const auto judged = [](double fuel, double spark, double duty) {
        return verdict("shutdown is complete", made(1500, {{"device.tripped", pulse(1.0, 9999)},
                                                           {"engine.fuel", [=](int) { return fuel; }},
                                                           {"engine.spark", [=](int) { return spark; }},
                                                           {"duty", [=](int) { return duty; }}}))
            .finding;
    };
    EXPECT_EQ(judged(0.0, 0.0, 0.0), Finding::passed);
    EXPECT_EQ(judged(1.0, 0.0, 0.0), Finding::failed);
    EXPECT_EQ(judged(0.0, 1.0, 0.0), Finding::failed);
    EXPECT_EQ(judged(0.0, 0.0, 0.3), Finding::failed);
}

}  // namespace
