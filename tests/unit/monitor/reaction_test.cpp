// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/reaction.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

TEST(Ladder, EachRungTakesNoLessThanTheOneBelow) {
    const Ladder ladder;
    const Action* below = &ladder.of(Reaction::none);
    for (const auto r : {Reaction::limited, Reaction::idle, Reaction::motor_off, Reaction::engine_off}) {
        const Action& a = ladder.of(r);
        EXPECT_LE(a.demand_limit, below->demand_limit) << name_of(r);
        EXPECT_LE(a.motor_permitted, below->motor_permitted) << name_of(r);
        EXPECT_LE(a.fuel_permitted, below->fuel_permitted) << name_of(r);
        below = &a;
    }
    EXPECT_FALSE(ladder.of(Reaction::engine_off).fuel_permitted);
}

TEST(Ladder, NoneOrdersNothing) {
    control::Input in;
    order(Ladder{}.of(Reaction::limited), in);
    EXPECT_TRUE(in.lowest_track);
    EXPECT_TRUE(in.motor_permitted);
    order(Ladder{}.of(Reaction::none), in);
    EXPECT_EQ(in.demand_limit, 1.0);
    EXPECT_EQ(in.demand_slope, 0.0);
    EXPECT_FALSE(in.lowest_track);
}

TEST(Ladder, EveryFieldIsGuarded) {
    support::expect_every_field_guarded<Action>();
    support::expect_every_field_guarded<Ladder>();
}

}  // namespace
