// SPDX-License-Identifier: BSD-3-Clause
// Codes by J2012 titles (public lists); times are the defaults.
#include "twintrack/monitor/electronics.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "shown.hpp"
#include "support/refusal.hpp"

namespace {

using namespace support;
using plant::BridgeFault;

control::Input with(BridgeFault fault, bool derated = false) {
    control::Input in = healthy(learned());
    in.bridge = {plant::BridgeState::ready, fault, derated};
    return in;
}

TEST(Electronics, WhatTheBridgeFindsHasACodeAfterItsTime) {
    for (const auto& [fault, code] : {std::pair{BridgeFault::short_to_ground, "P2102-11"},
                                      {BridgeFault::short_to_battery, "P2103-12"},
                                      {BridgeFault::short_across, "P2118-1A"},
                                      {BridgeFault::open_load, "P2100-13"}}) {
        Monitor m = make(learned());
        EXPECT_EQ(show(m, with(fault), 101), -1) << code;
        EXPECT_EQ(codes(m), "") << code;
        EXPECT_EQ(show(m, with(fault), 1, {}, 101), 101) << code;
        EXPECT_EQ(codes(m), code);
    }
}

TEST(Electronics, HeatLimitsAndHeals) {
    Monitor m = make(learned());
    EXPECT_EQ(show(m, with(BridgeFault::none, true), 1100), -1);
    EXPECT_EQ(codes(m), "P2118-4B");
    EXPECT_EQ(m.reaction(), Reaction::limited);
    (void)show(m, with(BridgeFault::none), 5100, {}, 1100);
    EXPECT_EQ(m.reaction(), Reaction::none);
}

TEST(Electronics, AResetIsACodeAndOneThatComesAgainAndAgainAReaction) {
    Monitor m = make(learned());
    int now = 0;
    for (int resets = 1; resets <= 5; ++resets) {
        m.reboot(milliseconds(now), true);
        const int off = show(m, healthy(learned()), 1500, {}, now);
        EXPECT_EQ(off, resets < 5 ? -1 : now) << resets;
        now += 1500;
    }
    EXPECT_EQ(codes(m), "P0560-16 P0561-2F");
    m.reboot(milliseconds(now + 60000), false);
    (void)show(m, healthy(learned()), 10, {}, now + 60000);
    EXPECT_EQ(m.reaction(), Reaction::motor_off) << "only a key cycle ends it";
    m.restart();
    (void)show(m, healthy(learned()), 10);
    EXPECT_EQ(m.reaction(), Reaction::none);
}

TEST(Electronics, ResetsFarApartAreNoPattern) {
    Monitor m = make(learned());
    for (int resets = 0; resets < 20; ++resets) {
        m.reboot(milliseconds(3000 * resets), true);
        EXPECT_EQ(show(m, healthy(learned()), 100, {}, 3000 * resets), -1);
    }
}

TEST(Electronics, ASleepThatWasMeantIsNoReset) {
    Monitor m = make(learned());
    m.reboot(Time{0}, false);
    EXPECT_EQ(show(m, healthy(learned()), 100), -1);
    EXPECT_EQ(codes(m), "");
}

TEST(Electronics, ARebootForgetsWhatWasCountedAndKeepsTheCodes) {
    Monitor m = make(learned());
    EXPECT_NE(show(m, with(BridgeFault::short_to_ground), 200), -1);
    (void)show(m, with(BridgeFault::short_to_battery), 90, {}, 200);
    m.reboot(milliseconds(300), false);
    EXPECT_EQ(show(m, with(BridgeFault::short_to_battery), 101, {}, 300), -1) << "counted anew";
    EXPECT_EQ(codes(m), "P2102-11");
    const auto& all = m.history().entries();
    const auto found = std::find_if(all.begin(), all.end(), [](const auto& e) { return e.code.text() == "P2102-11"; });
    EXPECT_EQ(found->state, CodeState::healed);
}

TEST(Electronics, AReferenceThatHasNothingToRegulateIsNoFault) {
    control::Input in = healthy(learned());
    in.pedal_reference.fill(4.0), in.throttle_reference.fill(4.0);
    in.supply = 5.4;
    Monitor m = make(learned());
    EXPECT_EQ(show(m, in, 1000), -1);
    in.supply = 5.5;
    EXPECT_EQ(show(m, in, 1000, {}, 1000), 1101);
}

TEST(Electronics, ForcedModesHaveTheirCodes) {
    EXPECT_EQ(forced_mode(Reaction::limited).text(), "P2106-00");
    EXPECT_EQ(forced_mode(Reaction::idle).text(), "P2104-00");
    EXPECT_EQ(forced_mode(Reaction::motor_off).text(), "P2110-00");
    EXPECT_EQ(forced_mode(Reaction::engine_off).text(), "P2105-00");
    EXPECT_THROW((void)forced_mode(Reaction::none), std::out_of_range);
}

TEST(Electronics, BadValuesAreRefused) { expect_every_field_guarded<ElectronicsParameters>(); }

}  // namespace
