// SPDX-License-Identifier: BSD-3-Clause
// The band is that of 13 CCR 1968.2 (e)(15.2.2)(B), quoted second hand: +200 and −100 rpm. All other figures are this
// bench's own.
#include "twintrack/monitor/idle_speed.hpp"

#include <gtest/gtest.h>

#include "twintrack/monitor/monitor.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::monitor;
using control::straight_track;

constexpr double rpm = pi / 30.0;
constexpr int start = 5001, release = 3001;  // [ms] first ticks that are looked at

control::EngineReadings idling(double off = 0.0) {
    return {.running = true, .speed = (650.0 + off) * rpm, .coolant = 85.0, .idle_goal = 650.0 * rpm};
}

/// What is found after the engine has idled for so many ticks.
IdleSpeedCheck::Found found(const control::EngineReadings& engine, int ticks = 20000, double pedal = 0.0,
                            bool disturbed = false) {
    IdleSpeedCheck c({}, milliseconds(1));
    IdleSpeedCheck::Found f;
    for (int n = 0; n <= ticks; ++n) f = c.step(engine, pedal, disturbed);
    return f;
}

TEST(IdleSpeed, TheBandIsNotEven) {
    EXPECT_FALSE(found(idling(199.9)).high);
    EXPECT_TRUE(found(idling(200.1)).high);
    EXPECT_FALSE(found(idling(-99.9)).low);
    EXPECT_TRUE(found(idling(-100.1)).low);
    EXPECT_FALSE(found(idling(1000.0)).low);
    EXPECT_FALSE(found(idling(-300.0)).high);
}

TEST(IdleSpeed, OffItsGoalOrWithoutRoomIsTheSystem) {
    for (const double sign : {1.0, -1.0}) {
        EXPECT_FALSE(found(idling(sign * 49.9)).system);
        EXPECT_TRUE(found(idling(sign * 50.1)).system);
    }
    for (const double authority : {0.0, 1.0, 0.001, 0.999}) {
        control::EngineReadings engine = idling();
        engine.idle_authority = authority;
        EXPECT_EQ(found(engine).system, authority == 0.0 || authority == 1.0) << authority;
    }
}

TEST(IdleSpeed, NothingIsLookedAtBeforeItsTime) {
    EXPECT_FALSE(found(idling(500.0), start - 1).high);
    EXPECT_TRUE(found(idling(500.0), start).high);
    IdleSpeedCheck c({}, milliseconds(1));
    for (int n = 0; n < 20000; ++n) EXPECT_FALSE(c.step(idling(500.0), 0.021, false).high) << "the foot is on";
    for (int n = 0; n < release; ++n) EXPECT_FALSE(c.step(idling(500.0), 0.02, false).high) << n;
    EXPECT_TRUE(c.step(idling(500.0), 0.02, false).high);
    EXPECT_FALSE(c.step(idling(500.0), 0.021, false).high);
    EXPECT_FALSE(c.step(idling(500.0), 0.02, false).high) << "it begins anew";
}

TEST(IdleSpeed, ARestartBeginsTheWaitingAnew) {
    IdleSpeedCheck c({}, milliseconds(1));
    for (int n = 0; n <= start; ++n) c.step(idling(500.0), 0.0, false);
    c.restart();
    for (int n = 0; n < start; ++n) EXPECT_FALSE(c.step(idling(500.0), 0.0, false).high) << n;
    EXPECT_TRUE(c.step(idling(500.0), 0.0, false).high);
}

TEST(IdleSpeed, NorUnlessItRunsWarmAndUndisturbed) {
    control::EngineReadings engine = idling(-300.0);
    EXPECT_TRUE(found(engine).low);
    engine.coolant = 59.9;
    EXPECT_FALSE(found(engine).low);
    engine.coolant = 60.0;
    EXPECT_TRUE(found(engine).low);
    EXPECT_FALSE(found(engine, 20000, 0.0, true).low);
    engine.running = false;
    EXPECT_FALSE(found(engine).low);
    EXPECT_FALSE(found({}).system) << "no engine";
}

// --- as codes

control::LearnedRange learned() {
    control::LearnedRange r;
    r.pedal = {straight_track(0.15, 0.75), straight_track(0.10, 0.40)};
    r.throttle = {straight_track(0.1, 0.9), straight_track(0.9, 0.1)};
    r.default_opening = 0.07;
    return r;
}

class IdleCodes : public testing::Test {
protected:
    const control::LearnedRange range = learned();
    Monitor monitor{MonitorParameters{}, range, 2, 2, milliseconds(1)};
    int now = 0;

    void show(double off, int ticks, double pedal_apart = 0.0) {
        for (const int end = now + ticks; now < end; ++now) {
            control::Input in;
            in.time = milliseconds(now);
            in.supply = 13.5;
            in.pedal = {0.15, 0.10 + pedal_apart};
            in.throttle = {0.156, 0.844};
            in.engine = idling(off);
            control::Command last;
            last.opening = 0.07;
            monitor.step(in, last);
        }
    }
    [[nodiscard]] std::string codes() const {
        std::string text;
        for (const TroubleCode& c : monitor.codes()) text += (text.empty() ? "" : " ") + c.text();
        return text;
    }
};

TEST_F(IdleCodes, HighIsConfirmedAfterItsTimeAndDrivesNothing) {
    show(210.0, start + 5001);
    EXPECT_EQ(codes(), "");
    show(210.0, 1);
    EXPECT_EQ(codes(), "P0507-92");
    EXPECT_EQ(monitor.codes().front().confirmed, milliseconds(start + 5001));
    EXPECT_EQ(monitor.reaction(), Reaction::none);
    show(210.0, 5000);
    EXPECT_EQ(codes(), "P0507-92 P0505-92");
    EXPECT_EQ(monitor.codes().back().confirmed, milliseconds(start + 10001));
}

TEST_F(IdleCodes, LowIsAnotherCode) {
    show(-110.0, start + 5002);
    EXPECT_EQ(codes(), "P0506-92");
}

TEST_F(IdleCodes, ADipThatEndsInTimeIsNone) {
    for (int k = 0; k < 20; ++k) {
        show(-300.0, 5000);
        show(0.0, 5500);
    }
    EXPECT_EQ(codes(), "");
}

/// Half a second on either side, five sixths of it beyond 50 rpm: the excess adds up, the band is never left for long.
TEST_F(IdleCodes, HuntingAddsUp) {
    show(0.0, 6000);
    for (int k = 0; k < 20; ++k) {
        for (const double off : {150.0, 0.0, -150.0, 0.0}) show(off, off == 0.0 ? 100 : 500);
    }
    EXPECT_EQ(codes(), "P0505-92");
}

TEST_F(IdleCodes, HuntingLessThanHalfOfTheTimeDoesNot) {
    show(0.0, 6000);
    for (int k = 0; k < 100; ++k) {
        for (const double off : {150.0, 0.0, -150.0, 0.0}) show(off, off == 0.0 ? 520 : 480);
    }
    EXPECT_EQ(codes(), "");
}

TEST_F(IdleCodes, AFaultThatDrivesTheBladeExplainsTheSpeed) {
    show(0.0, 6000);
    show(800.0, 30000, 0.1);
    EXPECT_EQ(codes(), "P2138-62");
}

}  // namespace
