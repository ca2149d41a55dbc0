// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/idle_governor.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "idle_rig.hpp"
#include "twintrack/core/error.hpp"

// The bands on speed are the trade's figures ("idle within a few tens of rpm", common practice, no source); idle-speed
// monitoring of California OBD II, 13 CCR 1968.2 (quoted second-hand), allows +200/−100 rpm.
namespace {

using namespace rig;

class Idle : public testing::TestWithParam<bool> {
protected:
    EngineExample example = GetParam() ? large_eight() : small_four();
    double load = GetParam() ? 24.0 : 8.0;
    double power = GetParam() ? 700.0 : 250.0;
    IdleRig idle{example};
    [[nodiscard]] double goal() const { return example.idle.target.speed.back() * rpm; }
};

TEST_P(Idle, StartsAndSettlesAtTheSetPoint) {
    double lowest = 1e9, last_outside = 0.0;
    idle.run(
        20.0,
        [&](double t) {
            auto s = start(t);
            s.power = power;
            return s;
        },
        [&](double t) {
            if (t > 1.5) lowest = std::min(lowest, idle.speed_rpm());
            if (std::fabs(idle.speed_rpm() - goal()) > 30.0) last_outside = t;
        });
    EXPECT_EQ(idle.engine.status(), EngineStatus::running);
    EXPECT_EQ(idle.out.mode, IdleMode::idling);
    EXPECT_NEAR(idle.speed_rpm(), goal(), 5.0);
    EXPECT_LT(last_outside, 6.0);
    EXPECT_GT(lowest, 0.6 * goal());
    EXPECT_GT(idle.out.authority, 0.5);
}

TEST_P(Idle, AnAccessoryStepIsRecovered) {
    double lowest = 1e9, highest = 0.0;
    const auto scene = [&](double t) {
        auto s = start(t);
        s.power = power;
        if (t > 15.0 && t < 20.0) s.accessory = load;
        return s;
    };
    idle.run(20.0, scene, [&](double t) {
        if (t > 15.0) lowest = std::min(lowest, idle.speed_rpm());
    });
    EXPECT_GT(lowest, goal() - 180.0);
    EXPECT_NEAR(idle.speed_rpm(), goal(), 20.0);
    idle.run(25.0, scene, [&](double) { highest = std::max(highest, idle.speed_rpm()); });
    EXPECT_LT(highest, goal() + 200.0);
    EXPECT_NEAR(idle.speed_rpm(), goal(), 20.0);
}

TEST_P(Idle, TipInAndReturn) {
    double highest = 0.0, lowest = 1e9;
    idle.run(
        25.0,
        [&](double t) {
            auto s = start(t);
            s.power = power;
            s.pedal = t > 15.0 && t < 16.0 ? 0.15 : 0.0;
            s.pedal_area = 12.0 * example.air_path.leak_area;
            return s;
        },
        [&](double t) {
            if (t > 15.0) highest = std::max(highest, idle.speed_rpm());
            if (t > 16.0) lowest = std::min(lowest, idle.speed_rpm());
            if (t > 15.5 && t < 15.9) {
                EXPECT_EQ(idle.out.mode, IdleMode::driving);
            }
        });
    EXPECT_GT(highest, 1500.0);
    EXPECT_GT(lowest, goal() - 150.0);
    EXPECT_NEAR(idle.speed_rpm(), goal(), 20.0);
    EXPECT_EQ(idle.out.mode, IdleMode::idling);
}

TEST_P(Idle, StallsWhenTheAirIsShut) {
    idle.run(15.0, [&](double t) {
        auto s = start(t);
        if (t > 10.0) s.most = 0.2e-6;
        return s;
    });
    EXPECT_EQ(idle.engine.status(), EngineStatus::stalled);
    EXPECT_EQ(idle.out.mode, IdleMode::off);
    EXPECT_EQ(idle.governor.integral(), 0.0);
}

TEST_P(Idle, ColdEngineIdlesFaster) {
    idle.run(15.0, [&](double t) {
        auto s = start(t);
        s.coolant = -20.0;
        s.power = power;
        return s;
    });
    EXPECT_NEAR(idle.speed_rpm(), example.idle.target.speed.front() * rpm, 25.0);
}

INSTANTIATE_TEST_SUITE_P(Engines, Idle, testing::Bool(),
                         [](const auto& which) { return which.param ? "eight" : "four"; });

// Air that passes the blade is more than idling needs: the governor closes as far as it can and the idle hangs.
TEST(IdleGovernor, ALeakHangsTheIdle) {
    IdleRig idle(small_four());
    idle.run(20.0, [](double t) {
        auto s = start(t);
        s.leak = 20e-6;
        return s;
    });
    EXPECT_GT(idle.speed_rpm(), 1000.0);
    EXPECT_EQ(idle.out.area, small_four().idle.air.least);
    EXPECT_DOUBLE_EQ(idle.out.authority, 1.0);
}

// A larger leak lifts the speed over the overrun cut: the engine surges between the two thresholds.
TEST(IdleGovernor, ALargerLeakMakesItSurge) {
    IdleRig idle(small_four());
    double highest = 0.0, lowest = 1e9;
    int cuts = 0;
    bool fuel = true;
    idle.run(
        30.0,
        [](double t) {
            auto s = start(t);
            s.leak = 40e-6;
            return s;
        },
        [&](double t) {
            if (t < 12.0) return;
            highest = std::max(highest, idle.speed_rpm());
            lowest = std::min(lowest, idle.speed_rpm());
            cuts += fuel && !idle.out.fuel;
            fuel = idle.out.fuel;
        });
    EXPECT_GT(cuts, 3);
    EXPECT_GT(highest - lowest, 250.0);
}

TEST(IdleGovernor, LearnsTheIdleAirAndStartsWithItNextTime) {
    const auto scene = [](double t) {
        auto s = start(t);
        s.leak = 2e-6;
        return s;
    };
    IdleRig first(small_four());
    first.run(120.0, scene);
    const double learned = first.governor.learned();
    EXPECT_LT(learned, -1e-6);
    EXPECT_NEAR(first.governor.integral(), 0.0, 0.3e-6);
    IdleRig second(small_four(), learned);
    second.run(10.0, scene);
    EXPECT_LT(std::fabs(second.governor.integral()), 0.4 * std::fabs(learned));
}

TEST(IdleGovernor, LearnedAirHasALimit) {
    auto example = small_four();
    example.idle.air.learn_limit = 0.5e-6;
    IdleRig idle(example);
    idle.run(120.0, [](double t) {
        auto s = start(t);
        s.leak = 2e-6;
        return s;
    });
    EXPECT_DOUBLE_EQ(idle.governor.learned(), -0.5e-6);
    EXPECT_NEAR(idle.speed_rpm(), 660.0, 10.0);
    EXPECT_THROW(IdleGovernor(example.idle, milliseconds(1), 0.6e-6), InvalidParameter);
    EXPECT_THROW(IdleGovernor(example.idle, milliseconds(1), NAN), InvalidParameter);
}

// Analytic: one step from a known state.
TEST(IdleGovernor, AirAndSparkByTheEquations) {
    const IdleParameters p;
    IdleGovernor governor(p, milliseconds(1));
    IdleInput in{.speed = 0.0, .cranking = true};
    EXPECT_DOUBLE_EQ(governor.step(in).area, p.air.start_area);
    in = {.speed = 67.1, .running = true};
    const auto out = governor.step(in);
    const double error = 69.1 - 67.1;
    EXPECT_NEAR(out.area, 7.5e-6 + p.air.proportional * error, 1e-18);
    EXPECT_NEAR(governor.integral(), 1e-3 * p.air.integral * error, 1e-12);
    EXPECT_NEAR(out.spark_retard, p.spark.base - p.spark.gain * error, 1e-12);
    in.accessory = true;
    EXPECT_NEAR(governor.step(in).area - out.area, p.air.accessory_area, 1e-9);
}

TEST(IdleGovernor, TheFootNeedsToLeaveThePedalClearly) {
    IdleGovernor governor(IdleParameters{}, milliseconds(1));
    IdleInput in{.speed = 68.0, .pedal = 0.015, .running = true};
    EXPECT_EQ(governor.step(in).mode, IdleMode::idling);
    in.pedal = 0.021;
    EXPECT_EQ(governor.step(in).mode, IdleMode::driving);
    in.pedal = 0.015;
    EXPECT_EQ(governor.step(in).mode, IdleMode::driving);
    in.pedal = 0.005;
    in.speed = 200.0;
    EXPECT_EQ(governor.step(in).mode, IdleMode::overrun);
    for (int k = 0; k < 2000; ++k) (void)governor.step(in);  // entry_time
    EXPECT_EQ(governor.mode(), IdleMode::idling);
}

TEST(IdleGovernor, RefusesABadPeriod) { EXPECT_THROW(IdleGovernor(IdleParameters{}, Time{0}), InvalidParameter); }

}  // namespace
