// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/learn_disturbance.hpp"

#include <gtest/gtest.h>

#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

LearnPlan plan(const std::vector<LearnDisturbance>& disturbances) {
    return with_disturbances({.stroke = Stroke::two_presses()}, disturbances);
}

/// Rest until 8 s, full at 9 … 9.5, rest at 10.5 … 11, full at 12 … 12.5, rest from 13.5 s (stroke.cpp).
double travel(const LearnDisturbance& m, double time) { return plan({m}).stroke.travel(from_seconds(time)); }

TEST(LearnDisturbance, TheFootDoesWhatItsNameSays) {
    EXPECT_NEAR(travel({.name = "pressed_short"}, 9.2), 0.6, 1e-12);
    EXPECT_NEAR(travel({.name = "pressed_short"}, 8.5), 0.3, 1e-12);
    EXPECT_NEAR(travel({.name = "pressed_once"}, 9.2), 1.0, 1e-12);
    EXPECT_NEAR(travel({.name = "pressed_once"}, 12.2), 0.0, 1e-12);
    EXPECT_NEAR(travel({.name = "not_released", .amount = 0.4}, 10.7), 0.4, 1e-12);
    EXPECT_NEAR(travel({.name = "not_released", .amount = 0.4}, 9.7), 0.8, 1e-12);
    EXPECT_NEAR(travel({.name = "not_released", .amount = 0.4}, 5.0), 0.0, 1e-12);
    EXPECT_NEAR(travel({.name = "floor_mat", .amount = 0.85}, 8.8), 0.8, 1e-12);
    EXPECT_NEAR(travel({.name = "floor_mat", .amount = 0.85}, 8.9), 0.85, 1e-12);
    EXPECT_NEAR(travel({.name = "foot_resting", .amount = 0.2}, 5.0), 0.2, 1e-12);
    EXPECT_NEAR(travel({.name = "foot_resting", .amount = 0.2}, 8.5), 0.6, 1e-12);
    EXPECT_NEAR(travel({.name = "foot_resting", .amount = 0.2}, 9.2), 1.0, 1e-12);
    EXPECT_NEAR(travel({.name = "lifted_late", .amount = 0.2}, 5.0), 0.2, 1e-12);
    EXPECT_NEAR(travel({.name = "lifted_late", .amount = 0.2}, 8.5), 0.5, 1e-12);
    EXPECT_NEAR(travel({.name = "lifted_late", .amount = 0.2}, 10.7), 0.0, 1e-12);
}

TEST(LearnDisturbance, FootMishapsAddUpInTheirOrder) {
    const LearnPlan p =
        plan({{.name = "foot_resting", .amount = 0.1}, {.name = "floor_mat", .amount = 0.8}, {.name = "pressed_once"}});
    EXPECT_NEAR(p.stroke.travel(from_seconds(5.0)), 0.1, 1e-12);
    EXPECT_NEAR(p.stroke.travel(from_seconds(9.2)), 0.8, 1e-12);
    EXPECT_NEAR(p.stroke.travel(from_seconds(12.2)), 0.1, 1e-12);
}

TEST(LearnDisturbance, TheOthersAreFaultsOrACut) {
    const LearnPlan p = plan({{.name = "deposits", .amount = 0.02},
                              {.name = "noisy_track", .where = "throttle.track2"},
                              {.name = "sagging_supply"},
                              {.name = "interrupted", .amount = 3.0},
                              {.name = "interrupted", .amount = 4.0}});
    const fault::Effects e = fault::Schedule(p.faults).effects(from_seconds(6.0));
    EXPECT_EQ(e.closed_stop, 0.02);
    EXPECT_EQ(e.throttle[1].noise, 0.005);
    EXPECT_DOUBLE_EQ(e.supply, 0.6);
    EXPECT_DOUBLE_EQ(fault::Schedule(p.faults).effects(from_seconds(3.5)).supply, 0.8);
    EXPECT_EQ(p.cut, from_seconds(3.0)) << "the first cut counts";
}

TEST(LearnDisturbance, EveryEntryOfTheCatalogueChangesThePlan) {
    const Stroke whole = Stroke::two_presses();
    for (const LearnDisturbanceKind& k : disturbance_catalogue()) {
        const LearnPlan p = plan({{.name = k.name, .where = k.places.empty() ? "" : k.places.front()}});
        bool moved = false;
        for (int ms = 0; ms < 15000; ms += 50)
            moved = moved || p.stroke.travel(milliseconds(ms)) != whole.travel(milliseconds(ms));
        EXPECT_TRUE(moved || !p.faults.empty() || p.cut || p.key_off || p.engine_turns) << k.name;
        EXPECT_GE(k.usual, k.least) << k.name;
        EXPECT_LE(k.usual, k.most) << k.name;
        EXPECT_NO_THROW(fault::Schedule{p.faults}) << k.name;
        for (const double end : {k.least, k.most})
            EXPECT_NO_THROW(fault::Schedule{
                plan({{.name = k.name, .amount = end, .where = k.places.empty() ? "" : k.places.back()}}).faults})
                << k.name << " " << end;
    }
}

TEST(LearnDisturbance, TheKeyAndTheEngineActAtTheirInstant) {
    const LearnPlan p = plan({{.name = "key_turned_off", .amount = 4.0},
                              {.name = "key_turned_off", .amount = 2.0},
                              {.name = "engine_turns"}});
    EXPECT_EQ(p.key_off, from_seconds(2.0)) << "the first instant counts";
    EXPECT_EQ(p.engine_turns, Time{});
    EXPECT_FALSE(p.cut);
}

TEST(LearnDisturbance, WhatCanStayIsAFaultThatNeverEnds) {
    for (const LearnDisturbanceKind& k : disturbance_catalogue()) {
        const auto faults = lasting_faults({{.name = k.name, .where = k.places.empty() ? "" : k.places.front()}});
        EXPECT_EQ(faults.empty(), !k.can_stay) << k.name;
        for (const fault::Fault& f : faults) EXPECT_FALSE(f.to) << k.name;
    }
}

TEST(LearnDisturbance, SeveritiesAreAmountsThatAreTaken) {
    for (const LearnDisturbanceKind& k : disturbance_catalogue()) {
        EXPECT_EQ(k.severities.empty(), k.least == k.most) << k.name;
        for (const double amount : k.severities) {
            EXPECT_GE(amount, k.least) << k.name;
            EXPECT_LE(amount, k.most) << k.name;
        }
    }
}

std::string refusal(const LearnDisturbance& m) {
    try {
        (void)plan({m});
    } catch (const InvalidParameter& e) {
        return e.what();
    }
    return "accepted";
}

TEST(LearnDisturbance, SaysWhatIsWrong) {
    const auto has = [](const std::string& text, const std::string& part) {
        EXPECT_NE(text.find(part), std::string::npos) << text;
    };
    has(refusal({.name = "press_short"}),
        "disturbances[1].name: there is no disturbance 'press_short'; disturbances: pressed_short, ");
    has(refusal({.name = "pressed_short", .amount = 1.5}), "disturbances[1].amount");
    has(refusal({.name = "pressed_short", .amount = std::numeric_limits<double>::quiet_NaN()}),
        "disturbances[1].amount");
    has(refusal({.name = "noisy_track"}),
        "disturbances[1].where: noisy_track needs a place; got ''; places: pedal.track1");
    has(refusal({.name = "deposits", .where = "pedal"}), "disturbances[1].where: deposits takes no place");
}

}  // namespace
