// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/reaction_table.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

constexpr Time tick = milliseconds(1);

Findings finding(Check c, bool pedal = true, bool throttle = true, int left = 2) {
    Findings f;
    f.confirmed[static_cast<std::size_t>(c)] = {pedal, throttle};
    f.left = {left, left};
    return f;
}

Findings healed(double pedal = 0.0, double opening = 0.0) {
    Findings f;
    f.left = {2, 2};
    f.pedal = pedal;
    f.opening = opening;
    f.default_opening = 0.07;
    return f;
}

TEST(ReactionTable, ARowIsOfItsCheckAndSide) {
    ReactionTable t({{.check = Check::range, .side = Side::pedal, .reaction = Reaction::idle}}, tick);
    EXPECT_EQ(t.step(finding(Check::range, false, true)), Reaction::none);
    EXPECT_EQ(t.step(finding(Check::stuck)), Reaction::none);
    EXPECT_EQ(t.step(finding(Check::range, true, false)), Reaction::idle);
    EXPECT_EQ(t.step(healed()), Reaction::none);
}

TEST(ReactionTable, ARowMayWaitUntilTracksAreLost) {
    ReactionTable t({{.check = Check::range, .left = 2, .reaction = Reaction::limited},
                     {.check = Check::range, .left = 0, .reaction = Reaction::motor_off}},
                    tick);
    EXPECT_EQ(t.step(finding(Check::range, true, false, 3)), Reaction::none);
    EXPECT_EQ(t.step(finding(Check::range, true, false, 1)), Reaction::limited);
    EXPECT_EQ(t.step(finding(Check::range, true, false, 0)), Reaction::motor_off);
}

TEST(ReactionTable, TheSeverestOfEqualPriorityAndElseTheHighest) {
    std::vector<ReactionRow> rows{{.check = Check::range, .reaction = Reaction::motor_off},
                                  {.check = Check::stuck, .reaction = Reaction::limited}};
    Findings both = finding(Check::range);
    both.confirmed[static_cast<std::size_t>(Check::stuck)] = {true, true};
    EXPECT_EQ(ReactionTable(rows, tick).step(both), Reaction::motor_off);
    rows[1].priority = 1;
    EXPECT_EQ(ReactionTable(rows, tick).step(both), Reaction::limited);
    rows[0].priority = 2;
    EXPECT_EQ(ReactionTable(rows, tick).step(both), Reaction::motor_off);
}

TEST(ReactionTable, AKeyCycleMeansToTheEnd) {
    ReactionTable t({{.check = Check::brake, .exit = Exit::key_cycle}}, tick);
    t.step(finding(Check::brake));
    for (int k = 0; k < 100000; ++k) ASSERT_EQ(t.step(healed()), Reaction::motor_off);
}

TEST(ReactionTable, TheFootMustBeOffForTheTime) {
    ReactionTable t({{.check = Check::brake, .exit = Exit::foot_off, .exit_time = 0.2}}, tick);
    t.step(finding(Check::brake));
    for (int k = 0; k < 1000; ++k) ASSERT_EQ(t.step(healed(0.5)), Reaction::motor_off);
    for (int k = 0; k < 200; ++k) ASSERT_EQ(t.step(healed(0.01)), Reaction::motor_off) << k;
    EXPECT_EQ(t.step(healed(0.01)), Reaction::none);
}

// Student-competition rules 2024, IC.4.7.3 (seen in the published text): latched until the throttle has been at or
// below its unpowered default position for 1 s or more. The 2 % of travel for friction are this bench's own.
TEST(ReactionTable, LatchedUntilASecondAtTheDefaultPosition) {
    ReactionTable t({{.check = Check::deviation, .exit = Exit::at_default, .exit_time = 1.0}}, tick);
    t.step(finding(Check::deviation));
    for (int k = 0; k < 5000; ++k) ASSERT_EQ(t.step(healed(0.0, 0.0901)), Reaction::motor_off);
    for (int k = 0; k < 999; ++k) ASSERT_EQ(t.step(healed(0.0, 0.0899)), Reaction::motor_off);
    EXPECT_EQ(t.step(healed(0.0, 0.2)), Reaction::motor_off) << "and it starts again";
    for (int k = 0; k < 1000; ++k) ASSERT_EQ(t.step(healed(0.0, 0.05)), Reaction::motor_off);
    EXPECT_EQ(t.step(healed(0.0, 0.05)), Reaction::none) << "after 1 s";
}

TEST(ReactionTable, TheBuiltInTablesLeaveNoCheckOfTheTracksUnanswered) {
    for (const auto& rows : {competition_reactions(), graded_reactions()})
        for (const Check c : {Check::range, Check::rate, Check::stuck, Check::outvoted, Check::correlation,
                              Check::volts, Check::deviation, Check::not_closing, Check::motion}) {
            EXPECT_NE(ReactionTable(rows, tick).step(finding(c, false, true, 1)), Reaction::none) << name_of(c);
            EXPECT_NE(ReactionTable(rows, tick).step(finding(c, true, false, 1)), Reaction::none) << name_of(c);
        }
}

}  // namespace
