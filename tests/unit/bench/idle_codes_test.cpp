// SPDX-License-Identifier: BSD-3-Clause
// What the monitor says of an idle: nothing when all is well; vacuum leak, mis-learned stop. Figures without a source
// are this bench's own.
#include <gtest/gtest.h>

#include <algorithm>

#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"
#include "twintrack/core/angle.hpp"
#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

constexpr double rpm = pi / 30.0;

BenchParameters with_engine(EngineSetup engine = {}) {
    BenchParameters p;
    p.engine = std::move(engine);
    return p;
}

bench::Run driven(const BenchParameters& p, const Stroke& stroke, std::vector<fault::Fault> faults = {}) {
    static const control::LearnedRange range = *learn(BenchParameters{}).result.range;
    return run(p, stroke, {}, {.learned = range, .faults = fault::Schedule(std::move(faults))});
}

std::string codes(const bench::Run& r) {
    std::string text;
    for (const auto& code : r.codes) text += (text.empty() ? "" : " ") + code.text();
    return text;
}

double last(const bench::Run& r, const char* signal) { return r.record.column(signal).back(); }

double excess(const bench::Run& r) { return (last(r, "engine.speed") - last(r, "engine.idle_set_point")) / rpm; }

fault::Fault leak(double square_millimetres) {
    return {.where = "manifold", .what = "vacuum_leak", .amount = 1e-6 * square_millimetres};
}

/// Both tracks read `share` of their range too low since the learn, so that the blade stands as much too far open.
std::vector<fault::Fault> low_reading(const BenchParameters& p, double share) {
    std::vector<fault::Fault> all;
    for (std::size_t k = 0; k < p.body.tracks.size(); ++k) {
        const auto& ratio = p.body.tracks[k].ratio;
        all.push_back({.where = "throttle.track" + std::to_string(k + 1),
                       .what = "offset",
                       .amount = -share * (ratio.back() - ratio.front())});
    }
    return all;
}

/// Start, a load that comes and goes, tip in and return, warm and barely warm, the load announced and not.
TEST(BenchIdle, AHealthyIdleSetsNone) {
    const Stroke tip({0.0, 22.0, 22.3, 24.0, 24.2, 40.0}, {0.0, 0.0, 0.3, 0.3, 0.0, 0.0});
    for (EngineSetup engine : built_in_engines())
        for (const double coolant : {85.0, 61.0})
            for (const bool announced : {true, false}) {
                engine.coolant = coolant;
                engine.course.announced = announced;
                engine.course.accessory_from = 10.0;
                engine.course.accessory_to = 17.0;
                engine.course.accessory_torque = 5000.0 * engine.model.cylinders.displacement;
                const bench::Run r = driven(with_engine(engine), tip);
                EXPECT_EQ(codes(r), "") << engine.name << " at " << coolant;
                EXPECT_NEAR(excess(r), 0.0, 20.0) << engine.name << " at " << coolant;
            }
}

TEST(BenchIdle, ABladeTooFarOpenIsHighAndDrivesNothing) {
    EngineSetup engine;
    engine.air_meter = false;
    const BenchParameters p = with_engine(engine);
    const bench::Run r = driven(p, Stroke::rest(20.0), low_reading(p, 0.06));
    EXPECT_EQ(codes(r), "P0507-92 P0505-92");
    EXPECT_GT(excess(r), 200.0);
    EXPECT_EQ(last(r, "reaction"), 0.0);
    EXPECT_GT(seconds(r.codes.front().confirmed), 10.0);
    EXPECT_LT(seconds(r.codes.front().confirmed), 13.0);
}

/// With the air measured ahead of it the same blade passes more than it can at the angle that it is believed to have.
TEST(BenchIdle, TheAirMeterSeesItBefore) {
    const BenchParameters p = with_engine();
    const bench::Run r = driven(p, Stroke::rest(20.0), low_reading(p, 0.06));
    EXPECT_EQ(codes(r), "P2173-64");
    EXPECT_LT(seconds(r.codes.front().confirmed), 4.0);
    EXPECT_EQ(last(r, "reaction"), static_cast<double>(monitor::Reaction::motor_off));
    EXPECT_EQ(codes(driven(p, Stroke::rest(20.0), low_reading(p, 0.01))), "");
}

/// The most that a choked throttle passes is known at any height: no press looks like too much air.
TEST(BenchIdle, NoPressLooksLikeTooMuchAir) {
    for (const double altitude : {0.0, 2500.0}) {
        EngineSetup engine;
        engine.altitude = altitude;
        const Stroke press({0.0, 5.0, 5.1, 7.0, 7.1, 9.0}, {0.0, 0.0, 1.0, 1.0, 0.0, 0.0});
        const bench::Run r = driven(with_engine(engine), press);
        EXPECT_EQ(codes(r), "") << altitude;
        const auto air = r.record.column("engine.air_flow");
        EXPECT_GT(*std::max_element(air.begin(), air.end()), 0.02) << altitude;
    }
}

/// A leak past the throttle replaces as much of the throttle's own opening, until that is closed.
TEST(VacuumLeak, TheGovernorClosesByAsMuch) {
    const BenchParameters p = with_engine();
    const bench::Run well = driven(p, Stroke::rest(20.0)), leaking = driven(p, Stroke::rest(20.0), {leak(3.0)});
    EXPECT_EQ(codes(leaking), "");
    EXPECT_NEAR(excess(leaking), 0.0, 20.0);
    EXPECT_NEAR(last(leaking, "idle.area"), last(well, "idle.area") - 3e-6, 0.3e-6);
    EXPECT_LT(last(leaking, "blade.opening"), last(well, "blade.opening"));
    EXPECT_LT(last(leaking, "engine.air_flow"), last(well, "engine.air_flow") - 5e-4);
    EXPECT_GT(last(leaking, "idle.authority"), last(well, "idle.authority"));
}

TEST(VacuumLeak, OneThatIsTooLargeIdlesHigh) {
    const bench::Run r = driven(with_engine(), Stroke::rest(20.0), {leak(20.0)});
    EXPECT_EQ(codes(r), "P0507-92 P0505-92") << "a meter ahead of the throttle cannot see it";
    EXPECT_GT(excess(r), 200.0);
    EXPECT_EQ(last(r, "idle.authority"), 1.0) << "closed as far as it can";
}

TEST(VacuumLeak, NeedsAnEngine) {
    EXPECT_THROW(driven({}, Stroke::rest(0.1), {leak(3.0)}), InvalidParameter);
    EXPECT_THROW(driven(with_engine(), Stroke::rest(0.1), {leak(1001.0)}), InvalidParameter);
}

TEST(VacuumLeak, NoneChangesNoBit) {
    const BenchParameters p = with_engine();
    const bench::Run well = driven(p, Stroke::rest(4.0)), none = driven(p, Stroke::rest(4.0), {leak(0.0)});
    for (const char* signal : {"engine.speed", "engine.air_flow", "blade.angle"})
        EXPECT_EQ(last(well, signal), last(none, signal)) << signal;
}

/// The controller obeys the key: no power, the blade where its springs leave it, the engine stands.
TEST(Key, OffTakesThePowerFromTheMotor) {
    EngineSetup engine;
    engine.course.key_off = 8.0;
    const BenchParameters p = with_engine(engine);
    const bench::Run r = driven(p, Stroke::rest(11.0));
    const auto time = r.record.time(), duty = r.record.column("duty"), current = r.record.column("motor.current");
    for (std::size_t k = 0; k < time.size(); ++k) {
        if (time[k] < 8.0) continue;
        ASSERT_EQ(duty[k], 0.0) << time[k];
        ASSERT_TRUE(current[k] == 0.0 || time[k] < 8.1) << time[k];
    }
    const auto& m = p.body.mechanics;
    const double travel = m.stops.open_angle - m.stops.closed_angle;
    EXPECT_NEAR(last(r, "blade.opening"), (m.springs.rest_angle - m.stops.closed_angle) / travel, 0.02);
    EXPECT_LT(last(r, "engine.speed"), 1.0);
    EXPECT_EQ(codes(r), "");
}

}  // namespace
