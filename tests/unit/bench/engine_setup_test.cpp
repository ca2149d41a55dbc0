// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/engine_setup.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"
#include "twintrack/core/angle.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/engine/engine.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

constexpr double rpm = 30.0 / pi;

BenchParameters with_engine(EngineSetup engine = {}) {
    BenchParameters p;
    p.engine = std::move(engine);
    return p;
}

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *learn(BenchParameters{}).result.range;
    return range;
}

std::span<const double> last(const Record& r, const char* signal, std::size_t ticks) {
    return r.column(signal).last(ticks);
}

/// The band is the task of the governor (660 rpm warm); ±20 rpm is this bench's own.
TEST(EngineSetup, StartsAndSettlesOnItsIdleSpeed) {
    for (const EngineSetup& engine : built_in_engines()) {
        const bench::Run r = run(with_engine(engine), Stroke::rest(10.0), {}, {.learned = learned()});
        ASSERT_TRUE(r.outcome.ok()) << r.outcome.reason;
        EXPECT_TRUE(r.codes.empty());
        const auto speed = last(r.record, "engine.speed", 2000), goal = last(r.record, "engine.idle_set_point", 2000);
        for (std::size_t k = 0; k < speed.size(); ++k)
            ASSERT_NEAR(speed[k] * rpm, goal[k] * rpm, 20.0) << engine.name << " " << k;
        EXPECT_GT(last(r.record, "engine.air_flow", 1)[0], 5e-4);
    }
}

TEST(EngineSetup, WithoutOneNothingIsRecordedOfIt) {
    EXPECT_EQ(run(BenchParameters{}, Stroke::rest(0.1)).record.signals().size(), recorded_signals().size());
    EXPECT_EQ(run(with_engine(), Stroke::rest(0.1)).record.signals().size(), recorded_signals(true).size());
}

/// What nobody starts stands still, and changes nothing at the blade but the idle air that is asked for.
TEST(EngineSetup, StandsWhenNobodyStartsIt) {
    EngineSetup engine;
    engine.course.start_at = 100.0;
    const bench::Run r = run(with_engine(engine), Stroke::rest(3.0), {}, {.learned = learned()});
    EXPECT_EQ(last(r.record, "engine.speed", 1)[0], 0.0);
    EXPECT_NEAR(last(r.record, "blade.opening", 1)[0], last(r.record, "idle.opening", 1)[0], 0.004);
}

/// A controller that has learned nothing leaves the blade on its springs; the ladder's speed limit holds the engine at
/// 157 rad/s by cutting the fuel (twice the hysteresis for what the delays let through; regression only).
TEST(EngineSetup, OnItsSpringsTheSpeedIsLimitedByFuel) {
    const BenchParameters p = with_engine();
    const bench::Run r = run(p, Stroke::rest(10.0));
    const auto speed = last(r.record, "engine.speed", 5000), fuel = last(r.record, "engine.fuel", 5000);
    EXPECT_LT(*std::max_element(speed.begin(), speed.end()), p.monitor.ladder.motor_off.speed_limit + 20.0);
    EXPECT_GT(*std::min_element(speed.begin(), speed.end()), 100.0);
    EXPECT_EQ(*std::min_element(fuel.begin(), fuel.end()), 0.0);
    EXPECT_EQ(*std::max_element(fuel.begin(), fuel.end()), 1.0);
}

TEST(EngineSetup, TheKeyTurnsItOff) {
    EngineSetup engine;
    engine.course.key_off = 5.0;
    const bench::Run r = run(with_engine(engine), Stroke::rest(8.0), {}, {.learned = learned()});
    EXPECT_LT(last(r.record, "engine.speed", 1)[0], 0.1);
    EXPECT_EQ(last(r.record, "engine.fuel", 1)[0], 0.0);
    EXPECT_EQ(last(r.record, "engine.spark", 1)[0], 0.0);
    EXPECT_EQ(name_of(static_cast<engine::EngineStatus>(static_cast<int>(last(r.record, "engine.status", 1)[0]))),
              std::string("standing"));
}

TEST(EngineSetup, ALoadCostsSpeedAndIsMetWithAir) {
    EngineSetup engine;
    engine.course.accessory_from = 6.0;
    engine.course.accessory_to = 100.0;
    engine.course.accessory_torque = 8.0;
    const bench::Run r = run(with_engine(engine), Stroke::rest(12.0), {}, {.learned = learned()});
    const auto speed = r.record.column("engine.speed"), air = r.record.column("engine.air_flow");
    EXPECT_GT(*std::min_element(speed.begin() + 6000, speed.end()) * rpm, 450.0);
    EXPECT_NEAR(speed.back() * rpm, 660.0, 20.0);
    EXPECT_GT(air.back(), 1.2 * air[5900]);
}

/// At 2,000 m the air weighs 0.785 of that at the sea (standard atmosphere); the same engine needs a wider blade.
TEST(EngineSetup, ThinAirNeedsAWiderBlade) {
    const auto opening = [](double altitude) {
        EngineSetup engine;
        engine.altitude = altitude;
        const bench::Run r = run(with_engine(engine), Stroke::rest(10.0), {}, {.learned = learned()});
        EXPECT_NEAR(last(r.record, "engine.speed", 1)[0] * rpm, 660.0, 20.0);
        return last(r.record, "blade.opening", 1)[0];
    };
    EXPECT_GT(opening(2000.0), opening(0.0) + 0.001);
}

/// Half a second after half pedal the air pushes the blade shut with K D³ Δp 4 s (1 − s), which the loop must hold.
TEST(EngineSetup, TheAirActsOnTheBlade) {
    BenchParameters p = with_engine();
    p.engine->course.start_at = 0.2;
    const Stroke tip({0.0, 4.0, 4.2, 5.0}, {0.0, 0.0, 0.2, 0.2});
    const auto duty = [&](double factor) {
        p.body.air_path.torque_factor = factor;
        const bench::Run r = run(p, tip, {}, {.learned = learned()});
        const auto d = last(r.record, "duty", 300);
        double sum = 0.0;
        for (const double v : d) sum += v;
        return sum / static_cast<double>(d.size());
    };
    EXPECT_GT(duty(0.02), duty(0.0) + 0.005);
}

TEST(EngineSetup, RefusesWhatIsOutOfRange) {
    BenchParameters p = with_engine();
    p.engine->learned_air = 1e-4;
    EXPECT_THROW(validate(p), InvalidParameter);
    p = with_engine();
    p.engine->altitude = std::nan("");
    EXPECT_THROW(validate(p), InvalidParameter);
}

}  // namespace
