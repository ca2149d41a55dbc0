// SPDX-License-Identifier: BSD-3-Clause
// Expectations follow from the equations of the header.
#include "twintrack/control/power.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;

/// Ticks of 1 ms until it is (not) awake; `most` when it never is.
int until(PowerSupply& s, bool awake, double volts, bool key = true, int most = 100000) {
    int ticks = 0;
    while (ticks < most && s.awake() != awake) s.step(volts, key), ++ticks;
    return ticks;
}

PowerSupply at(double volts, PowerParameters p = {}) {
    PowerSupply s(p, milliseconds(1));
    s.step(volts, true);
    return s;
}

TEST(PowerSupply, ResetAndReleaseHaveHysteresis) {
    PowerSupply s = at(13.5);
    for (int k = 0; k < 1000; ++k) s.step(4.2, true);
    EXPECT_TRUE(s.awake());
    EXPECT_EQ(until(s, false, 4.19), 1);
    EXPECT_EQ(until(s, true, 4.69, true, 1000), 1000);
    EXPECT_EQ(until(s, true, 4.7), 51) << "50 ms of boot after the tick that has enough";
    EXPECT_TRUE(s.booted());
    s.step(4.7, true);
    EXPECT_FALSE(s.booted()) << "at one tick only";
}

// 13.5 V − 4.2 V at 0.4 V per tick.
TEST(PowerSupply, TheBufferCarriesItThroughAShortInterruption) {
    PowerSupply s = at(13.5);
    EXPECT_EQ(until(s, false, 0.0), 24);
    PowerSupply t = at(13.5);
    for (int k = 0; k < 20; ++k) t.step(0.0, true);
    EXPECT_NEAR(t.internal(5.0), 5.0, 1e-12) << "5.5 V are left";
    t.step(0.0, true);
    EXPECT_NEAR(t.internal(5.0), 4.8, 1e-9) << "5.1 V less the drop-out";
}

TEST(PowerSupply, TheBootBeginsAnewWhenTheSupplyDropsAgain) {
    PowerSupply s = at(0.0);
    EXPECT_FALSE(s.awake());
    for (int k = 0; k < 40; ++k) s.step(5.0, true);
    for (int k = 0; k < 10; ++k) s.step(0.0, true);
    EXPECT_EQ(until(s, true, 5.0), 51);
}

TEST(PowerSupply, TheInternalSupplySagsAndIsNothingInReset) {
    EXPECT_EQ(at(13.5).internal(5.0), 5.0) << "to the last bit";
    EXPECT_NEAR(at(4.6).internal(5.0), 4.3, 1e-12);
    EXPECT_EQ(at(3.3).internal(5.0), 0.0);
}

TEST(PowerSupply, RunsOnAfterTheKeyAndSleeps) {
    PowerSupply s = at(13.5, {.after_run = 2.0});
    EXPECT_EQ(until(s, false, 13.5, false), 2002) << "2 s after the first tick without the key, and no longer";
    EXPECT_FALSE(s.starved()) << "as it was meant to";
    EXPECT_EQ(until(s, true, 13.5, false, 1000), 1000);
    EXPECT_EQ(until(s, true, 13.5, true), 51) << "the key wakes it";
}

TEST(PowerSupply, TellsAResetWithTheKeyOn) {
    PowerSupply s = at(13.5);
    (void)until(s, false, 0.0);
    EXPECT_TRUE(s.starved());
}

TEST(PowerSupply, SwitchedOffItNeverSleeps) {
    PowerSupply s = at(13.5, {.enabled = false});
    EXPECT_EQ(until(s, false, -0.7, true, 1000), 1000);
    EXPECT_EQ(s.internal(5.0), 5.0);
}

TEST(PowerSupply, BadValuesAreRefused) {
    support::expect_every_field_guarded<PowerParameters>();
    support::expect_refused<PowerParameters>("part.release_voltage",
                                             [](auto& p) { p.reset_voltage = p.release_voltage; });
}

}  // namespace
