// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/idle.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <functional>

#include "twintrack/engine/engine.hpp"

/// Made-up records with known answers.
namespace {

using namespace twintrack;
using namespace twintrack::study;

const bench::Stroke tip({0.0, 10.0, 10.5, 11.5, 12.0, 20.0}, {0.0, 0.0, 0.3, 0.3, 0.0, 0.0});
const double goal = 650.0 * rpm;

/// 20 s with a row every 10 ms; the engine runs from 1 s on with `speed(t)`.
Record made(const std::function<double(double)>& speed) {
    Record record({{"engine.speed", "rad/s"},
                   {"engine.idle_set_point", "rad/s"},
                   {"engine.status", ""},
                   {"engine.air_flow", "kg/s"},
                   {"engine.manifold_pressure", "Pa"},
                   {"blade.opening", ""},
                   {"idle.authority", ""}});
    for (int k = 0; k <= 2000; ++k) {
        const double t = 0.01 * k, w = t < 1.0 ? 0.0 : speed(t);
        const auto status = t < 1.0 ? engine::EngineStatus::cranking
                            : w < 5 ? engine::EngineStatus::stalled
                                    : engine::EngineStatus::running;
        const std::array<double, 7> row{w, goal, static_cast<double>(status), 0.002, 3e4, 0.02, 0.8};
        record.append(milliseconds(10 * k), row);
    }
    return record;
}

IdleReport report(const std::function<double(double)>& speed, bench::EngineCourse course = {}, bool reported = false,
                  bool uncommanded = false) {
    return idle_report(made(speed), tip, course, reported, uncommanded);
}

TEST(Idle, OneThatStandsOnItsSetPointIsRight) {
    const IdleReport r = report([](double t) { return t > 10.0 && t < 12.5 ? 3.0 * goal : goal; });
    EXPECT_EQ(r.finding, IdleFinding::right);
    EXPECT_TRUE(r.started);
    EXPECT_EQ(r.stalls, 0);
    EXPECT_NEAR(r.deviation(), 0.0, 1e-9);
    EXPECT_NEAR(r.settling_time, 0.5, 0.011);  // from the starter at 0.5 s to the first turn at 1 s
    EXPECT_NEAR(r.return_time, 0.5, 0.011);
    EXPECT_NEAR(r.highest, 0.0, 1e-9);  // the press and two seconds after it do not count
    EXPECT_NEAR(r.air_flow, 0.002, 1e-12);
    EXPECT_NEAR(r.opening, 0.02, 1e-12);
    EXPECT_TRUE(std::isnan(r.load_dip));
    EXPECT_TRUE(std::isnan(r.hunting_period));
}

TEST(Idle, HuntingHasAmplitudeAndPeriod) {
    const IdleReport r = report([](double t) { return goal + 60.0 * rpm * std::cos(2.0 * pi * t / 0.8); });
    EXPECT_NEAR(r.hunting, 60.0 * rpm, 0.5 * rpm);
    EXPECT_NEAR(r.hunting_period, 0.8, 0.02);
    EXPECT_TRUE(std::isnan(r.settling_time));
    EXPECT_EQ(r.finding, IdleFinding::wrong);
}

TEST(Idle, TheBandIsNotEven) {
    EXPECT_EQ(report([](double) { return goal + 190.0 * rpm; }).finding, IdleFinding::right);
    EXPECT_EQ(report([](double) { return goal - 110.0 * rpm; }).finding, IdleFinding::wrong);
    EXPECT_EQ(report([](double) { return goal + 210.0 * rpm; }).finding, IdleFinding::wrong);
    EXPECT_EQ(report([](double) { return goal + 210.0 * rpm; }, {}, true).finding, IdleFinding::noticed);
}

TEST(Idle, FarAboveTheSetPointIsDangerousReportedOrNot) {
    const auto away = [](double t) { return t > 14.5 && t < 16.0 ? goal + 1100.0 * rpm : goal; };
    EXPECT_EQ(report(away).finding, IdleFinding::dangerous);
    EXPECT_EQ(report(away, {}, true).finding, IdleFinding::dangerous);
    EXPECT_NEAR(report(away).runaway, 1.48, 0.021);
    EXPECT_NEAR(report(away).highest, 1100.0 * rpm, 1e-9);
    const auto shortly = [](double t) { return t > 14.5 && t < 15.2 ? goal + 1100.0 * rpm : goal; };
    EXPECT_EQ(report(shortly).finding, IdleFinding::right);
    EXPECT_EQ(report([](double) { return goal; }, {}, false, true).finding, IdleFinding::dangerous);
}

/// Limits in powers of two, so that a speed can stand on them; the goal of 64 rad/s too.
constexpr IdleLimits exact{.above = 16.0, .below = 8.0, .settled = 2.0, .hunting = 4.0, .runaway = 32.0};

IdleReport exactly(const std::function<double(double)>& above) {
    const Record like = made([](double) { return 0.0; });
    Record own(std::vector<Signal>(like.signals().begin(), like.signals().end()));
    for (int k = 0; k <= 2000; ++k) {
        const double t = 0.01 * k, w = t < 1.0 ? 0.0 : 64.0 + above(t);
        const auto status = t < 1.0 ? engine::EngineStatus::cranking : engine::EngineStatus::running;
        own.append(milliseconds(10 * k),
                   std::array<double, 7>{w, 64.0, static_cast<double>(status), 0.002, 3e4, 0.02, 0.8});
    }
    return idle_report(own, tip, {}, false, false, exact);
}

TEST(Idle, OnALimitIsWithin) {
    const auto finding = [](double above) { return exactly([=](double) { return above; }).finding; };
    EXPECT_EQ(finding(16.0), IdleFinding::right);
    EXPECT_EQ(finding(16.0 + 1e-9), IdleFinding::wrong);
    EXPECT_EQ(finding(-8.0), IdleFinding::right);
    EXPECT_EQ(finding(-8.0 - 1e-9), IdleFinding::wrong);
    const auto hunts = [](double half) {  // from row to row, in the judged seconds only
        return exactly([=](double t) { return t < 9.0 ? 0.0 : t > 9.5 ? 0.0 : t < 9.25 ? half : -half; });
    };
    EXPECT_EQ(hunts(4.0).hunting, 4.0);
    EXPECT_EQ(hunts(4.0).finding, IdleFinding::right);
    EXPECT_EQ(hunts(4.0 + 1e-9).finding, IdleFinding::wrong);
    EXPECT_TRUE(std::isnan(hunts(2.0).hunting_period)) << "it hunts more than `settled` only";
}

TEST(Idle, SettledAndReturnedCountFromTheRowOnTheLimit) {
    const IdleReport on = exactly([](double t) { return t < 5.0 ? 2.0 : t < 12.0 ? 0.0 : t < 15.0 ? 16.0 : 0.0; });
    EXPECT_NEAR(on.settling_time, 0.5, 0.011);
    EXPECT_NEAR(on.return_time, 0.0, 1e-9);
    const IdleReport beyond = exactly([](double t) {
        return t < 5.0 ? -2.1 : t < 12.0 ? 0.0 : t < 15.0 - 1e-9 ? 16.1 : 0.0;
    });
    EXPECT_NEAR(beyond.settling_time, 4.5, 0.011);
    EXPECT_NEAR(beyond.return_time, 3.0, 1e-9);
    EXPECT_NEAR(exactly([](double t) { return t > 12.005 && t < 13.0 - 1e-9 ? -8.1 : 0.0; }).return_time, 1.0, 1e-9);
}

TEST(Idle, ARunawayIsFasterThanItsLimitForLongerThanItsTime) {
    const auto runs = [](double above, double length) {
        return exactly([=](double t) { return t > 15.0 - 1e-9 && t < 15.0 + length + 1e-9 ? above : 0.0; });
    };
    EXPECT_EQ(runs(32.0, 3.0).runaway, 0.0);
    EXPECT_NEAR(runs(33.0, 3.0).runaway, 3.0, 1e-9);
    EXPECT_EQ(runs(33.0, 3.0).finding, IdleFinding::dangerous);
    EXPECT_EQ(runs(33.0, 0.99).finding, IdleFinding::right);
    EXPECT_EQ(runs(33.0, 1.01).finding, IdleFinding::dangerous);
    EXPECT_EQ(runs(33.0, 3.0).highest, 33.0);
}

TEST(Idle, AStallIsCountedAndWrong) {
    const IdleReport r = report([](double t) { return t > 5.0 ? 0.0 : goal; });
    EXPECT_EQ(r.stalls, 1);
    EXPECT_EQ(r.finding, IdleFinding::wrong);
    EXPECT_NE(sentence(r).find("stalls"), std::string::npos);
}

TEST(Idle, OneThatNeverStartsIsWrongAndSaysSo) {
    const IdleReport r = report([](double) { return 0.0; });
    EXPECT_FALSE(r.started);
    EXPECT_EQ(r.finding, IdleFinding::wrong);
    EXPECT_EQ(sentence(r), "The engine does not start.");
}

TEST(Idle, TheDipUnderALoadIsMeasuredWhileItIsOn) {
    bench::EngineCourse course;
    course.accessory_from = 6.0;
    course.accessory_to = 8.0;
    course.accessory_torque = 5.0;
    const auto dipping = [](double t) { return t > 6.5 && t < 6.7 ? goal - 80.0 * rpm : goal; };
    EXPECT_NEAR(report(dipping, course).load_dip, 80.0 * rpm, 1e-9);
    course.accessory_from = 7.0;
    EXPECT_NEAR(report(dipping, course).load_dip, 0.0, 1e-9);
}

TEST(Idle, NeedsTheSignalsOfAnEngine) {
    const Record record(std::vector<Signal>{{"blade.opening", ""}});
    EXPECT_THROW((void)idle_report(record, tip, {}, false, false), InvalidParameter);
}

}  // namespace
