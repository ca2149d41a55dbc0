// SPDX-License-Identifier: BSD-3-Clause
// Brake, function monitor and independent device in lanes: codes, reactions and verdicts of the exact solver.
#include <gtest/gtest.h>

#include "twintrack/bench/learn.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/lanes/run.hpp"
#include "twintrack/study/case.hpp"

namespace {

using namespace twintrack;
using lanes::Case;

bench::BenchParameters guarded(const monitor::MonitorParameters& m) {
    bench::BenchParameters p;
    p.wiring.kind = bench::WiringKind::ideal;
    p.monitor = m;
    return p;
}

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *bench::learn(guarded({})).result.range;
    return range;
}

monitor::MonitorParameters watched() {
    monitor::MonitorParameters m;
    m.function_monitor.enabled = m.device.enabled = true;
    return m;
}

/// The foot goes down, stays, and comes back, while the driver brakes.
Case base(const monitor::MonitorParameters& m) {
    Case c{.bench = guarded(m), .stroke = {{0.0, 0.4, 0.5, 2.2, 2.3, 2.8}, {0.0, 0.0, 0.7, 0.7, 0.0, 0.0}}};
    c.learned = learned();
    c.brake = bench::Stroke({0.0, 0.8, 0.85, 2.5, 2.6, 2.8}, {0.0, 0.0, 0.8, 0.8, 0.0, 0.0});
    return c;
}

/// What each entry of the catalogue does at most, at least, or where it only has a name.
std::vector<fault::Fault> one_of_each() {
    std::vector<fault::Fault> all;
    for (const fault::Kind& kind : fault::catalogue()) {
        if (std::string(kind.where).ends_with("track3") || std::string(kind.where) == "manifold") continue;
        if (std::string(kind.what) == "lag" || std::string(kind.where) == "pedal.idle_switch")
            continue;  // not for lanes
        fault::Fault f{.where = kind.where, .what = kind.what, .from = milliseconds(700)};
        const bool scale = f.what == "scale" || f.what == "gain";
        if (kind.most > kind.least) f.amount = scale ? 0.4 : f.what == "torque" ? 0.8 : 0.25 * kind.most;
        all.push_back(f);
    }
    return all;
}

struct Compared {
    lanes::Result ours;
    bench::Run exact;
};

Compared compared(const Case& c, std::vector<std::string> signals = {"blade.opening", "asked", "reaction"}) {
    auto ours = lanes::run({c}, {.signals = std::move(signals)});
    return {std::move(ours[0]),
            bench::run(c.bench, c.stroke, c.duration,
                       {.learned = c.learned, .faults = fault::Schedule(c.faults), .brake = c.brake})};
}

/// Codes to the word; their instants within `apart`. A blade that is led by a frozen reading creeps away from an error
/// of one count, so when it is seen hangs on the noise.
void expect_agreement(const Case& c, const std::string& what) {
    const Time apart = what == "throttle.track1 frozen" ? milliseconds(100) : milliseconds(20);
    const Compared r = compared(c);
    ASSERT_EQ(r.ours.codes.size(), r.exact.codes.size()) << what;
    for (std::size_t k = 0; k < r.exact.codes.size(); ++k) {
        EXPECT_EQ(r.ours.codes[k].text(), r.exact.codes[k].text()) << what;
        EXPECT_LE(std::abs((r.ours.codes[k].confirmed - r.exact.codes[k].confirmed).count()), apart.count()) << what;
    }
    EXPECT_EQ(r.ours.record.column("reaction").back(), r.exact.record.column("reaction").back()) << what;
    EXPECT_EQ(study::judge(r.ours.record, c.stroke).response, study::judge(r.exact.record, c.stroke).response) << what;
}

TEST(LanesAlone, AgreeOnEveryKindOfFaultUnderBrakeWatcherAndDevice) {
    int faults = 0;
    for (const fault::Fault& f : one_of_each()) {
        Case c = base(watched());
        c.bench.guard.enabled = c.bench.power.enabled = false;  // a supply that fails is the exact solver's
        c.faults = {f};
        expect_agreement(c, f.where + " " + f.what);
        ++faults;
    }
    EXPECT_GT(faults, 20);
}

TEST(LanesAlone, AgreeOnTheBrakeAloneAndOnEverySetUp) {
    for (const auto& m : {monitor::MonitorParameters{}, monitor::strict(), monitor::graded(), monitor::careless()})
        expect_agreement(base(m), "set-up");
    Case healthy = base(watched());
    healthy.brake.reset();
    expect_agreement(healthy, "released");
    EXPECT_TRUE(compared(healthy).ours.codes.empty());
}

/// Of three tracks one that freezes while the foot moves is outvoted. The pair whose limit is passed some ticks after
/// that has its code as well.
TEST(LanesAlone, AgreeOnAFrozenTrackOfThreeAndOnThePairsThatDisagreeLater) {
    Case c = base({});
    c.brake.reset();
    c.bench.pedal.tracks.resize(3);
    c.bench.pedal.tracks[0].ratio = {0.10, 0.90}, c.bench.pedal.tracks[1].ratio = {0.15, 0.85};
    c.bench.pedal.tracks[2].ratio = {0.90, 0.10};
    c.learned = bench::learn(c.bench).result.range;
    ASSERT_TRUE(c.learned);
    c.stroke = {{0.0, 0.4, 2.4, 2.8}, {0.0, 0.0, 0.7, 0.7}};
    std::size_t most = 0;
    for (const char* where : {"pedal.track1", "pedal.track2", "pedal.track3"})
        for (const double offset : {0.0, 0.004, 0.012}) {
            c.faults = {{.where = where, .what = "frozen", .from = milliseconds(450)}};
            const char* other = c.faults[0].where == "pedal.track3" ? "pedal.track2" : "pedal.track3";
            if (offset > 0.0) c.faults.push_back({.where = other, .what = "offset", .amount = offset});
            expect_agreement(c, std::string(where) + " frozen, " + std::to_string(offset));
            most = std::max(most, compared(c).ours.codes.size());
        }
    EXPECT_EQ(most, 3U) << "two pairs and the track";
}

TEST(LanesAlone, BrakeAgainstThrottleIsSeenAndTheDeviceTrips) {
    const Compared r = compared(base(watched()), {"brake", "brake.volts", "brake.hard", "device.tripped", "reaction"});
    EXPECT_EQ(r.ours.reaction, monitor::Reaction::engine_off);  // hard braking at 70 % for more than a second: IC.4.8
    for (const char* name : {"brake", "brake.volts", "brake.hard", "device.tripped", "reaction"}) {
        const auto a = r.ours.record.column(name), b = r.exact.record.column(name);
        EXPECT_TRUE(std::equal(a.begin(), a.end(), b.begin(), b.end())) << name;
    }
}

TEST(LanesAlone, ASignalThatACaseLacksIsLeftOutOfItsRecord) {
    Case c = base({});
    c.brake.reset();
    const auto r = lanes::run({c, base({})}, {.signals = {"brake", "asked", "function_monitor.tripped"}});
    EXPECT_EQ(r[0].record.signals().size(), 1U);
    EXPECT_EQ(r[1].record.signals().size(), 2U);
}

// A sensor of the brake that stands outside its band from the start is seen without a brake being pressed.
TEST(LanesAlone, AWrongBrakeSensorIsSeenWithoutABrake) {
    Case c = base({});
    c.brake.reset();
    c.bench.brake.released = 0.05;
    expect_agreement(c, "released below its band");
    EXPECT_FALSE(compared(c).ours.codes.empty());
}

/// What presses on the blade without a deviation wakes the lane; code and instant are the exact solver's.
TEST(LanesBlocked, AreWokenWhenTheCheckBeginsToCount) {
    for (const double shift : {0.02, 0.03, 0.04}) {
        Case c{.bench = guarded({}), .stroke = {{0.0, 3.0}, {0.0, 0.0}}, .learned = learned()};
        c.bench.controller.pedal_map.opening = {0.0, 0.0, 1.0};
        c.bench.controller.pedal_map.pedal = {0.0, 0.05, 1.0};
        c.faults = {{.where = "body.closed_stop", .what = "shift", .amount = shift}};
        const Compared r = compared(c);
        ASSERT_EQ(r.exact.codes.size(), 1u) << shift;
        EXPECT_EQ(r.exact.codes[0].text(), "P2101-71") << shift;
        ASSERT_EQ(r.ours.codes.size(), 1u) << shift;
        EXPECT_EQ(r.ours.codes[0].text(), "P2101-71") << shift;
        EXPECT_LE(std::abs((r.ours.codes[0].confirmed - r.exact.codes[0].confirmed).count()), 20000) << shift;
    }
}

TEST(LanesRefuse, WhatTheyDoNotKnow) {
    const auto refusal = [](const Case& c) -> std::string {
        try {
            lanes::check(c);
        } catch (const InvalidParameter& e) {
            return e.what();
        }
        return "";
    };
    Case c = base({});
    EXPECT_EQ(refusal(c), "");
    c.faults = {{.where = "pedal.line", .what = "lag", .amount = 0.1}};
    EXPECT_NE(refusal(c).find("exact solver"), std::string::npos);
    c = base({});
    c.bench.pedal.idle_switch.fitted = true;
    EXPECT_NE(refusal(c).find("exact solver"), std::string::npos);
    c = base({});
    c.bench.body.mechanics.backlash.play = 0.01;
    EXPECT_NE(refusal(c).find("exact solver"), std::string::npos);
    c = base({});
    c.bench.engine = bench::EngineSetup{};
    c.faults = {{.where = "manifold", .what = "vacuum_leak", .amount = 1e-5}};
    EXPECT_EQ(refusal(c), "");
    c.bench.engine->mixture.metered = true;
    EXPECT_NE(refusal(c).find("exact solver"), std::string::npos);
}

}  // namespace
