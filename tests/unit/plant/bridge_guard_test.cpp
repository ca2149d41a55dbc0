// SPDX-License-Identifier: BSD-3-Clause
// Expectations follow from the equations of the header.
#include "twintrack/plant/bridge_guard.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::plant;

constexpr double trip = 20.0;

TEST(OverCurrent, AMotorAloneIsNone) {
    for (const double duty : {-1.0, -0.3, 0.0, 0.3, 1.0})
        for (const double i : {-12.6, 0.0, 12.6})
            EXPECT_EQ(over_current({i, -i, i}, duty, trip), BridgeFault::none) << duty << " " << i;
}

TEST(OverCurrent, NorIsOneWithItsLeadsExchanged) {
    for (const double i : {-12.6, 12.6}) EXPECT_EQ(over_current({-i, i, i}, 0.3, trip), BridgeFault::none) << i;
}

// 100 A during a tenth of the period are 10 A on average.
TEST(OverCurrent, AHighSwitchThatGivesTooMuchIsAShortToGround) {
    EXPECT_EQ(over_current({11.0, -1.0, 1.0}, 0.1, trip), BridgeFault::short_to_ground);
    EXPECT_EQ(over_current({-1.0, 11.0, -1.0}, -0.1, trip), BridgeFault::short_to_ground);
}

TEST(OverCurrent, ALowSwitchThatTakesTooMuchIsAShortToBattery) {
    EXPECT_EQ(over_current({-89.0, -1.0, 1.0}, 0.1, trip), BridgeFault::short_to_battery);
    EXPECT_EQ(over_current({1.0, -101.0, 1.0}, 0.1, trip), BridgeFault::short_to_battery);
}

TEST(OverCurrent, OneHighAndOneLowIsAShortAcross) {
    EXPECT_EQ(over_current({21.0, -21.0, 1.0}, 0.2, trip), BridgeFault::short_across);
    EXPECT_EQ(over_current({-21.0, 21.0, -1.0}, -0.2, trip), BridgeFault::short_across);
}

TEST(OverCurrent, BelowTheTripCurrentIsNone) {
    EXPECT_EQ(over_current({10.4, -0.5, 0.5}, 0.5, trip), BridgeFault::short_to_ground) << "19.8 + 0.5 A";
    EXPECT_EQ(over_current({10.2, -0.5, 0.5}, 0.5, trip), BridgeFault::none) << "19.4 + 0.5 A";
}

BridgeGuard guard(BridgeGuardParameters p = {}) { return {p, {}, milliseconds(1)}; }

TEST(BridgeGuard, LocksOutWithHysteresis) {
    BridgeGuard g = guard();
    for (const auto& [volts, state] : {std::pair{5.0, BridgeState::ready},
                                       {4.99, BridgeState::undervoltage},
                                       {5.49, BridgeState::undervoltage},
                                       {5.5, BridgeState::ready},
                                       {5.1, BridgeState::ready}}) {
        g.tick(volts, 0.0, false);
        EXPECT_EQ(g.state(), state) << volts;
    }
}

TEST(BridgeGuard, TriesAgainAndThenStaysOpen) {
    BridgeGuard g = guard({.retry_time = 0.01, .retries = 2});
    const LegCurrents shorted{11.0, -1.0, 1.0};
    for (int tries = 0; tries < 3; ++tries) {
        ASSERT_EQ(g.state(), BridgeState::ready) << tries;
        EXPECT_TRUE(g.trips(shorted, 0.1));
        for (int k = 0; k < 9; ++k) {
            g.tick(13.5, 0.0, false);
            EXPECT_EQ(g.state(), BridgeState::tripped);
        }
        g.tick(13.5, 0.0, false);
    }
    for (int k = 0; k < 5000; ++k) g.tick(13.5, 0.0, false);
    EXPECT_EQ(g.state(), BridgeState::tripped);
    EXPECT_EQ(g.fault(), BridgeFault::short_to_ground);
    g.reset();
    EXPECT_EQ(g.state(), BridgeState::ready);
    EXPECT_EQ(g.fault(), BridgeFault::none);
}

TEST(BridgeGuard, AFindingThatDoesNotComeBackIsForgotten) {
    BridgeGuard g = guard();
    EXPECT_TRUE(g.trips({11.0, -1.0, 1.0}, 0.1));
    for (int k = 0; k < 50; ++k) g.tick(13.5, 0.0, false);
    EXPECT_EQ(g.state(), BridgeState::ready);
    for (int k = 0; k < 18; ++k) {
        EXPECT_FALSE(g.trips({1.0, -1.0, 1.0}, 0.1));
        g.tick(13.5, 1.0, true);
    }
    EXPECT_EQ(g.fault(), BridgeFault::short_to_ground);
    for (int k = 0; k < 2; ++k) g.tick(13.5, 1.0, true);
    EXPECT_EQ(g.fault(), BridgeFault::none);
}

TEST(BridgeGuard, ADifferenceOfTheLeadsIsFoundWithoutATrip) {
    BridgeGuard g = guard();
    EXPECT_FALSE(g.trips({3.0, -1.9, 3.0}, 0.2));
    EXPECT_EQ(g.fault(), BridgeFault::short_to_ground);
    EXPECT_EQ(g.state(), BridgeState::ready);
    EXPECT_FALSE(g.trips({1.0, -2.1, 1.0}, 0.2));
    EXPECT_EQ(g.fault(), BridgeFault::short_to_battery);
}

// By hand: 2 · 0.1 Ω · (10 A)² = 20 W through 7 K/W make 140 K over 25 °C: 165 °C, 0.4 of the way back from 175 to 150.
TEST(BridgeGuard, AHotJunctionLeavesLessCurrent) {
    BridgeGuard g({.junction_resistance = 7.0}, {.switch_resistance = 0.1}, milliseconds(1));
    EXPECT_EQ(g.share(), 1.0);
    for (int k = 0; k < 60000; ++k) g.tick(13.5, 10.0, true);
    EXPECT_NEAR(g.junction(), 165.0, 0.01);
    EXPECT_NEAR(g.share(), 0.4, 0.001);
    for (int k = 0; k < 3000; ++k) g.tick(13.5, 12.0, true);
    EXPECT_EQ(g.state(), BridgeState::hot);
    for (int k = 0; k < 60000; ++k) g.tick(13.5, 0.0, false);
    EXPECT_NEAR(g.junction(), 25.0, 0.01);
    EXPECT_EQ(g.state(), BridgeState::ready);
}

TEST(BridgeGuard, TheDefaultNeverActsOnAMotorAlone) {
    const BridgeGuardParameters p;
    EXPECT_LT(hottest_junction(p, {}), p.derate_from);
    EXPECT_GT(p.trip_current, 1.05 * BridgeParameters{}.current_limit);
}

TEST(BridgeGuard, BadValuesAreRefused) {
    support::expect_every_field_guarded<BridgeGuardParameters>();
    support::expect_refused<BridgeGuardParameters>("part.undervoltage_release",
                                                   [](auto& p) { p.undervoltage = p.undervoltage_release; });
    support::expect_refused<BridgeGuardParameters>("part.shut_down",
                                                   [](auto& p) { p.derate_from = p.shut_down + 1.0; });
}

}  // namespace
