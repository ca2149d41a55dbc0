// SPDX-License-Identifier: BSD-3-Clause
// Student-competition rules 2024, IC.4.7.2 and IC.4.7.3 (seen in the published text): more than 10 % off the target for
// more than 1 s removes the throttle's power; not back within 10 % a second later, fuel and ignition go too; what was
// removed stays so until the throttle has been at or below its unpowered default position for 1 s or more.
#include <gtest/gtest.h>

#include "twintrack/monitor/monitor.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::monitor;
using control::straight_track;

constexpr double rest = 0.07;

/// A monitor and a throttle that does what a test says, tick by tick; tracks and supply are healthy.
class Rig {
public:
    explicit Rig(const MonitorParameters& p = {}) : monitor_(p, learned(), 2, 2, milliseconds(1)) {}

    /// For `ms` the demand is `demand` and the blade stands at `opening`. Returns the last reaction.
    Reaction show(double demand, double opening, int ms) {
        for (int n = 0; n < ms; ++n) {
            control::Input in;
            in.time = milliseconds(now_++);
            in.supply = 13.5;
            in.pedal = {0.3, 0.175, 0.0};
            in.throttle = {0.1 + 0.8 * opening, 0.9 - 0.8 * opening, 0.0};
            in.motor_current = 1.0;
            const bool drive = reaction_ < Reaction::motor_off;
            reaction_ = monitor_.step(in, {.mode = drive ? plant::BridgeMode::drive : plant::BridgeMode::high_impedance,
                                           .duty = drive ? 0.3 : 0.0,
                                           .demand = demand,
                                           .set_point = drive ? demand : opening,
                                           .opening = opening});
        }
        return reaction_;
    }

    [[nodiscard]] const Monitor& monitor() const { return monitor_; }

private:
    static control::LearnedRange learned() {
        control::LearnedRange r;
        r.pedal = {straight_track(0.15, 0.75), straight_track(0.10, 0.40)};
        r.throttle = {straight_track(0.1, 0.9), straight_track(0.9, 0.1)};
        r.default_opening = rest;
        return r;
    }

    Monitor monitor_;
    Reaction reaction_ = Reaction::none;
    int now_ = 0;
};

TEST(TwoStages, ASecondForThePowerAndASecondForTheEngine) {
    Rig rig;
    EXPECT_EQ(rig.show(0.6, 0.501, 60000), Reaction::none) << "9.9 % for ever";
    EXPECT_EQ(rig.show(0.6, 0.499, 1001), Reaction::none) << "exactly 1 s";
    EXPECT_EQ(rig.show(0.6, 0.499, 1), Reaction::motor_off);
    EXPECT_EQ(rig.show(0.6, 0.499, 1001), Reaction::motor_off) << "exactly 1 s more";
    EXPECT_EQ(rig.show(0.6, 0.499, 1), Reaction::engine_off);
    EXPECT_EQ(rig.monitor().codes().back().text(), "P2111-77");
    EXPECT_FALSE(rig.monitor().action().fuel_permitted);
    EXPECT_EQ(rig.show(0.0, rest, 5000), Reaction::engine_off) << "until the key is turned";
}

TEST(TwoStages, ABladeThatComesBackInTimeKeepsTheEngine) {
    Rig rig;
    ASSERT_EQ(rig.show(0.2, 0.5, 1002), Reaction::motor_off);
    EXPECT_EQ(rig.show(0.2, 0.5, 900), Reaction::motor_off);
    EXPECT_EQ(rig.show(0.1, rest, 60000), Reaction::motor_off);
}

TEST(TwoStages, TheLatchOpensAfterASecondAtTheDefaultPosition) {
    MonitorParameters p;
    p.deviation.latch = false;
    p.deviation.heal_time = 0.0;
    for (ReactionRow& row : p.reactions)
        if (row.check == Check::deviation) row.exit = Exit::at_default, row.exit_time = 1.0;
    p.not_closing.enabled = false;
    p.return_spring.check.enabled = false;
    Rig rig(p);
    ASSERT_EQ(rig.show(0.0, 0.5, 1002), Reaction::motor_off);
    EXPECT_EQ(rig.show(0.0, 0.10, 5000), Reaction::motor_off) << "above the default position";
    EXPECT_EQ(rig.show(0.0, rest, 1000), Reaction::motor_off);
    EXPECT_EQ(rig.show(0.0, rest, 1), Reaction::none);
}

}  // namespace
