// SPDX-License-Identifier: BSD-3-Clause
// Limits are this bench's own; the expectations follow from the definitions.
#include "twintrack/monitor/blade_checks.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

constexpr Time tick = milliseconds(1);

control::Command drive(double duty, double opening) {
    return {.mode = plant::BridgeMode::drive, .duty = duty, .set_point = opening, .opening = opening};
}

TEST(Motion, VoltsAndNoCurrent) {
    MotionCheck c({}, tick);
    EXPECT_TRUE(c.step(drive(0.2, 0.5), 0.02, 13.5).open);  // 2.7 V
    EXPECT_FALSE(c.step(drive(0.2, 0.5), 0.04, 13.5).open);
    EXPECT_FALSE(c.step(drive(0.1, 0.5), 0.0, 13.5).open);  // 1.35 V
    control::Command off = drive(0.2, 0.5);
    off.mode = plant::BridgeMode::high_impedance;
    EXPECT_FALSE(c.step(off, 0.0, 13.5).open);
}

TEST(Motion, TooMuchCurrentEitherWayWhateverTheBridgeDoes) {
    MotionCheck c({}, tick);
    EXPECT_TRUE(c.step({}, 10.1, 13.5).overload);
    EXPECT_TRUE(c.step({}, -10.1, 13.5).overload);
    EXPECT_FALSE(c.step({}, 9.9, 13.5).overload);
}

TEST(Motion, DriveAndNoMovement) {
    MotionCheck c({}, tick);
    EXPECT_FALSE(c.step(drive(0.0, 0.5), 1.0, 13.5).stalled);
    EXPECT_TRUE(c.step(drive(0.8, 0.505), 1.0, 13.5).stalled);
    EXPECT_TRUE(c.step(drive(-0.8, 0.495), 1.0, 13.5).stalled);
    EXPECT_FALSE(c.step(drive(0.8, 0.511), 1.0, 13.5).stalled);
    EXPECT_FALSE(c.step(drive(0.6, 0.511), 1.0, 13.5).stalled);
}

TEST(Motion, NothingIsBlockedAtTheStopThatIsAskedFor) {
    const auto blocked = [](double duty, double set_point, double opening) {
        MotionCheck c({}, tick);
        control::Command last = drive(duty, opening);
        last.set_point = set_point;
        (void)c.step(drive(0.0, opening), 0.0, 13.5);
        return c.step(last, 5.0, 13.5).blocked;
    };
    EXPECT_FALSE(blocked(-0.95, 0.0, 0.005));
    EXPECT_FALSE(blocked(0.95, 1.0, 0.995));
    EXPECT_TRUE(blocked(-0.95, 0.0, 0.015)) << "deposits";
    EXPECT_TRUE(blocked(-0.95, 0.02, 0.005));
    EXPECT_TRUE(blocked(0.95, 0.0, 0.005)) << "leads exchanged";
    EXPECT_TRUE(blocked(0.95, 1.0, 0.985));
    EXPECT_TRUE(blocked(-0.95, 1.0, 0.995));
}

TEST(Motion, HeldOpenByDepositsThatTheLoopPullsAgainst) {
    const auto blocked = [](double duty, double set_point, double opening, double supply = 13.5) {
        MotionCheck c({}, tick);
        control::Command last = drive(duty, opening);
        last.set_point = set_point;
        (void)c.step(drive(0.0, opening), 0.0, supply);
        return c.step(last, 1.0, supply).blocked;
    };
    EXPECT_TRUE(blocked(-0.38, 0.02, 0.027)) << "5.13 V";
    EXPECT_FALSE(blocked(-0.36, 0.02, 0.027)) << "4.86 V";
    EXPECT_FALSE(blocked(-0.38, 0.02, 0.0255)) << "as exact as a loop need be";
    EXPECT_FALSE(blocked(0.5, 0.02, 0.027)) << "driven open";
    EXPECT_FALSE(blocked(0.5, 0.6, 0.59)) << "a hold against the springs takes as much";
    EXPECT_FALSE(blocked(-0.95, 0.02, 0.027, 8.0)) << "of a low supply it is too much: stalled";
    EXPECT_FALSE(blocked(-0.6, 0.0, 0.0095)) << "at the stop that is asked for";
}

TEST(Motion, AShortDipDoesNotEndABlock) {
    MotionCheck c({}, tick);
    (void)c.step(drive(0.0, 0.02), 0.0, 13.5);
    EXPECT_TRUE(c.step(drive(0.95, 0.02), 5.0, 13.5).blocked);
    for (int k = 1; k < 10; ++k) EXPECT_TRUE(c.step(drive(0.3, 0.02), 1.0, 13.5).blocked) << k;
    EXPECT_FALSE(c.step(drive(0.3, 0.02), 1.0, 13.5).blocked) << "10 ms";
    EXPECT_TRUE(c.step(drive(0.95, 0.02), 5.0, 13.5).blocked);
    EXPECT_FALSE(c.step(drive(0.3, 0.031), 1.0, 13.5).blocked) << "it moves";
}

TEST(Motion, VoltsAndCurrentAndNoMovementWhereverTheSetPointIs) {
    MotionCheck c({}, 10 * tick);  // a dip of one tick is too long here
    EXPECT_FALSE(c.step(drive(0.0, 0.02), 0.0, 13.5).blocked);
    EXPECT_TRUE(c.step(drive(0.67, 0.025), 2.1, 13.5).blocked);  // 9.045 V
    EXPECT_TRUE(c.step(drive(-0.67, 0.015), -2.1, 13.5).blocked);
    EXPECT_FALSE(c.step(drive(0.66, 0.02), 2.1, 13.5).blocked);  // 8.91 V
    EXPECT_FALSE(c.step(drive(0.67, 0.02), 1.9, 13.5).blocked);
    EXPECT_FALSE(c.step(drive(0.95, 0.02), 9.0, 9.4).blocked) << "a low supply cannot apply that much";
    EXPECT_TRUE(c.step(drive(0.95, 0.02), 9.0, 9.5).blocked);
    EXPECT_FALSE(c.step(drive(0.95, 0.031), 9.0, 13.5).blocked) << "it moves";
    control::Command off = drive(0.95, 0.031);
    off.mode = plant::BridgeMode::high_impedance;
    EXPECT_FALSE(c.step(off, 9.0, 13.5).blocked);
}

/// In lanes a monitor begins at the first tick at which something presses on the blade.
TEST(Motion, OneThatResumesCountsFromTheSamePlace) {
    for (int lead = 1; lead < 12; ++lead) {
        MotionCheck whole({}, tick), late({}, tick);
        const auto opening = [](int k) { return 0.2 + 0.0013 * k; };
        for (int k = 0; k < lead; ++k) (void)whole.step(drive(0.1, opening(k)), 0.5, 13.5);
        late.resume(whole.seen());
        for (int k = lead; k < lead + 20; ++k) {
            const auto a = whole.step(drive(0.9, opening(k)), 5.0, 13.5),
                       b = late.step(drive(0.9, opening(k)), 5.0, 13.5);
            EXPECT_EQ(a.stalled, b.stalled) << k;
            EXPECT_EQ(a.blocked, b.blocked) << k;
        }
    }
}

TEST(Motion, OneThatResumesSeesWhatTheOtherSees) {
    MotionCheck whole({}, tick);
    int k = 0;
    const auto next = [&k] {
        control::Command c = drive(0.5, 0.8 - 0.004 * k * k * 0.05);
        c.set_point = 0.9;
        return c;
    };
    for (; k < 20; ++k) (void)whole.step(next(), 1.0, 13.5);
    MotionCheck late({}, tick), blind({}, tick);
    late.resume(whole.seen());
    bool differed = false;
    for (; k < 60; ++k) {
        const bool against = whole.step(next(), 1.0, 13.5).against;
        EXPECT_EQ(late.step(next(), 1.0, 13.5).against, against) << k;
        differed = differed || blind.step(next(), 1.0, 13.5).against != against;
    }
    EXPECT_TRUE(differed) << "one that knows nothing must be late";
}

/// Whether it is found of a blade that closes with 4 1/s, `left` [share of travel] below its set point.
bool runs_against(double duty, double left) {
    MotionCheck c({}, tick);
    bool found = false;
    for (int k = 0; k < 100; ++k) {
        control::Command last = drive(duty, 0.9 - 0.004 * k);
        last.set_point = last.opening + left;
        found = c.step(last, duty > 0.0 ? 1.0 : -1.0, 13.5).against;
    }
    return found;
}

TEST(Motion, TheBladeRunsAgainstItsDrive) {
    EXPECT_TRUE(runs_against(0.5, 0.2));
    EXPECT_FALSE(runs_against(0.29, 0.2));
    EXPECT_FALSE(runs_against(-0.5, 0.2)) << "it runs as it is driven";
}

TEST(Motion, ADriveThatSlowsTheBladeOnItsWayIsNotAgainstIt) {
    EXPECT_FALSE(runs_against(0.5, -0.02)) << "a released pedal: the set point closes ahead of the blade";
    EXPECT_FALSE(runs_against(0.5, 0.009));
    EXPECT_TRUE(runs_against(0.5, 0.011)) << "further than s";
}

TEST(DefaultPosition, OnlyOfABladeWithoutPower) {
    control::Command off{.opening = 0.14};
    EXPECT_TRUE(away_from(0.05, 0.07, off));
    off.opening = 0.11;
    EXPECT_FALSE(away_from(0.05, 0.07, off));
    EXPECT_FALSE(away_from(0.05, 0.07, drive(0.1, 0.14)));
}

}  // namespace
