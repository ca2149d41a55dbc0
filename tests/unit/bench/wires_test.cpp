// SPDX-License-Identifier: BSD-3-Clause
// The bench on its harness: what wiring faults do to a run. Expectations are analytic unless a test says otherwise.
#include <gtest/gtest.h>

#include <cmath>

#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/core/exponential.hpp"
#include "twintrack/fault/wiring_faults.hpp"
#include "twintrack/wiring/pickup.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;
using fault::Fault;
using fault::Schedule;

BenchParameters quiet() {
    BenchParameters p;
    for (auto* tracks : {&p.pedal.tracks, &p.body.tracks})
        for (auto& t : *tracks) t.noise = 0.0;
    return p;
}

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *learn(BenchParameters{}).result.range;
    return range;
}

/// The foot goes to half travel and stays; the fault comes at 1.5 s.
bench::Run half_pressed(const std::vector<Fault>& faults, const BenchParameters& p = {}) {
    return run(p, Stroke({0.0, 0.2, 0.7, 3.0}, {0.0, 0.0, 0.5, 0.5}), {},
               {.learned = learned(), .faults = Schedule(faults)});
}

Fault at_1500(const std::string& where, const std::string& what, double amount = 0.0, const std::string& with = {}) {
    return {.where = where, .what = what, .from = milliseconds(1500), .amount = amount, .with = with};
}

// Common practice, no source: an open signal wire is pulled to a rail and read as out of range.
TEST(Wires, AnOpenSignalIsReadAsOutOfRange) {
    for (const wiring::Pull pull : {wiring::Pull::down, wiring::Pull::up}) {
        BenchParameters p;
        p.wiring.harness.controller.pull = pull;
        const auto r = half_pressed({at_1500("throttle signal 1", "open")}, p);
        ASSERT_TRUE(r.outcome.ok());
        ASSERT_FALSE(r.codes.empty());
        EXPECT_EQ(r.codes.front().code, pull == wiring::Pull::up ? "P0123" : "P0122");
        EXPECT_NEAR(seconds(r.codes.front().confirmed), 1.6, 0.01) << "100 ms of debounce";
        EXPECT_NEAR(r.record.column("throttle.track1").back(), pull == wiring::Pull::up ? 5.0 : 0.0, 0.02);
    }
}

// Common practice, no source: a short between two tracks is seen by correlation.
TEST(Wires, AShortBetweenTracksIsSeenByCorrelation) {
    const auto r = half_pressed({at_1500("pedal signal 1", "short_to", 0.05, "pedal signal 2")});
    ASSERT_FALSE(r.codes.empty());
    EXPECT_EQ(r.codes.front().code, "P2138") << "pedal tracks 1 and 2 (SAE J2012)";
    EXPECT_NEAR(seconds(r.codes.front().confirmed), 1.6, 0.01);
}

// Common practice, no source: … except where the tracks cross. Opposed tracks, shorted, both read half way, wherever
// the blade is, and agree on it: what gives them away elsewhere is that the blade no longer follows.
TEST(Wires, AShortBetweenOpposedTracksHidesWhereTheyCross) {
    const Fault shorted = at_1500("throttle signal 1", "short_to", 0.05, "throttle signal 2");
    BenchParameters unguarded;
    unguarded.monitor.motion.blocked.enabled = false;
    const auto crossing = half_pressed({shorted}, unguarded);
    ASSERT_NEAR(crossing.record.column("blade.opening")[1499], 0.5, 0.03) << "the stroke brings them to their crossing";
    EXPECT_TRUE(crossing.codes.empty()) << crossing.codes.front().text();
    EXPECT_LT(crossing.record.column("motor.current").back(), -6.0) << "the loop presses it into the closed stop";
    const auto guarded = half_pressed({shorted});
    ASSERT_EQ(guarded.codes.size(), 1u);
    EXPECT_EQ(guarded.codes.front().text(), "P2101-71") << "what no track tells, volts and amperes do";
    EXPECT_LE(seconds(guarded.codes.front().confirmed), 2.5) << "a second after the short";
    const auto away = run(BenchParameters{}, Stroke({0.0, 0.2, 0.7, 3.0}, {0.0, 0.0, 0.2, 0.2}), {},
                          {.learned = learned(), .faults = Schedule({shorted})});
    EXPECT_NEAR(away.record.column("throttle.track1")[1550], 2.5, 0.1);
    ASSERT_FALSE(away.codes.empty());
    EXPECT_EQ(away.codes.front().code, "P2101") << "the deviation check";
}

// Common practice, no source: a ratiometric pair forgives a reference that is 5 % off.
TEST(Wires, ARatiometricPairForgivesTheReference) {
    for (const double scale : {0.95, 1.05}) {
        const auto r = half_pressed({at_1500("reference", "scale", scale)});
        EXPECT_TRUE(r.codes.empty());
        const auto blade = r.record.column("blade.opening");
        EXPECT_NEAR(blade.back(), blade[1499], 0.004) << scale;
        EXPECT_NEAR(r.record.column("pedal.track1").back(), scale * r.record.column("pedal.track1")[1499], 0.01);
    }
}

// Common practice, no source: exchanged motor leads drive the blade the wrong way, and the learn refuses.
TEST(Wires, TheLearnRefusesExchangedMotorLeads) {
    const Fault leads{.where = "motor +", .what = "exchange", .with = "motor -"};
    const LearnRun r = learn(BenchParameters{}, Stroke::two_presses(), Schedule({leads}));
    EXPECT_FALSE(r.result.accepted);
    EXPECT_NE(r.result.reason.find("motor leads exchanged"), std::string::npos) << r.result.reason;
}

TEST(Wires, AnOpenMotorLeadLetsTheSpringsDecide) {
    const auto r = half_pressed({at_1500("motor +", "open")});
    const auto blade = r.record.column("blade.opening");
    const plant::BodyMechanics body;
    EXPECT_NEAR(r.record.column("blade.angle").back(), plant::default_angle(body), 0.02);
    EXPECT_GT(blade[1499], 0.3);
    EXPECT_EQ(r.record.column("motor.current").back(), 0.0);
    ASSERT_FALSE(r.codes.empty());
}

/// A resistance that grows in a straight line from nothing, and a leak whose conductance does.
TEST(Wires, ARampGrowsTheFault) {
    BenchParameters p = quiet();
    Fault series = at_1500("pedal signal 1", "series", 220e3);  // as large as the pull resistor
    series.from = milliseconds(100), series.ramp = milliseconds(200);
    Session session(p, Stroke::rest(1.0), {.faults = Schedule({series})});
    for (int k = 0; k < 400; ++k) session.step();
    const auto volts = session.record().column("pedal.track1");
    const double whole = volts[99];
    EXPECT_NEAR(volts[100], whole, 1e-9);
    const double pull = p.wiring.harness.controller.pull_resistance;
    EXPECT_NEAR(volts[200], whole * pull / (pull + 110e3), 0.01 * whole);
    EXPECT_NEAR(volts[350], whole * 0.5, 0.01 * whole);
}

/// RC filter (analytic): an input that is there for a share of the time and not for the rest has that share as its
/// mean, whatever the sampling, because the openings keep no step with it.
TEST(Wires, TheFilterSeesTheShareOfTimeOfALooseContact) {
    BenchParameters p = quiet();
    p.acquisition.bits = 16;
    Fault loose{.where = "pedal signal 1", .what = "open", .every = milliseconds(1), .lasting = Time{100}};
    Session session(p, Stroke::rest(3.0), {.faults = Schedule({loose}), .monitored = false});
    Session healthy(p, Stroke::rest(3.0), {.monitored = false});
    const double whole = healthy.step().input.pedal[0];
    double sum = 0.0, least = 1.0, most = 0.0;
    const int count = 2500;
    for (int k = 0; k < count + 100; ++k) {
        const double r = session.step().input.pedal[0];
        if (k < 100) continue;
        sum += r, least = std::min(least, r), most = std::max(most, r);
    }
    EXPECT_NEAR(sum / count, 0.9 * whole, 0.01 * whole);
    const double dip = 1.0 - exponential(-0.1 / 0.3);  // just before the sample
    EXPECT_GT(least, (1.0 - dip - 0.05) * whole);
    EXPECT_LT(least, 0.8 * whole) << "some samples fall just after an opening";
    EXPECT_GT(most, 0.97 * whole);
}

/// The motor's current dies and comes back within a tick; the same bits whenever it is run.
TEST(Wires, ALooseMotorLeadActsBetweenTicks) {
    Fault loose = at_1500("motor -", "open");
    loose.every = milliseconds(1), loose.lasting = Time{100};
    const auto a = half_pressed({loose}), b = half_pressed({loose});
    ASSERT_TRUE(a.outcome.ok()) << a.outcome.reason;
    const auto x = a.record.column("blade.angle"), y = b.record.column("blade.angle");
    ASSERT_TRUE(std::equal(x.begin(), x.end(), y.begin(), y.end()));
    const auto duty = a.record.column("duty");
    double before = 0.0, after = 0.0;
    for (int k = 0; k < 300; ++k) before += duty[1100 + k] / 300, after += duty[2600 + k] / 300;
    EXPECT_GT(after, before * 1.03) << "the controller makes up for the missing time";
}

TEST(Wires, AGroundOffsetShiftsWhatTheSupplyIs) {
    const auto r = half_pressed({at_1500("controller ground", "ground_offset", 1.0)});
    const auto supply = r.record.column("supply");
    EXPECT_NEAR(supply[1510], supply[1490] - 1.0, 0.1);
    EXPECT_TRUE(r.codes.empty()) << "all of one controller's sensors hang on its own ground";
}

/// ISO 16750-2:2023, 4.6.3, level I (known second-hand): 8.0 V, then 9.5 V for 1 s.
TEST(Wires, AStartingProfilePullsTheBattery) {
    BenchParameters p;
    p.wiring.kind = WiringKind::ideal;
    const auto r = run(p, Stroke::rest(3.0), {}, {.faults = Schedule({at_1500("supply", "start_level_1")})});
    const auto supply = r.record.column("supply");
    EXPECT_DOUBLE_EQ(supply[1499], 13.5);
    EXPECT_NEAR(supply[1510], 8.0, 1e-9);
    EXPECT_NEAR(supply[1545], 8.75, 1e-6);
    EXPECT_NEAR(supply[2000], 9.5, 1e-9);
    EXPECT_NEAR(supply[2569], 9.5, 1e-9);
    EXPECT_DOUBLE_EQ(supply[2611], 13.5);
}

TEST(Wires, FaultsEndAndTheWiringIsWholeAgain) {
    BenchParameters p = quiet();
    Fault f = at_1500("pedal signal 2", "short_to_ground", 0.05);
    f.from = milliseconds(10), f.to = milliseconds(20);
    Session session(p, Stroke::rest(1.0), {.faults = Schedule({f})});
    for (int k = 0; k < 40; ++k) session.step();
    const auto volts = session.record().column("pedal.track2");
    EXPECT_NEAR(volts[10], 0.0, 0.01);
    EXPECT_NEAR(volts[19], 0.0, 0.01);
    EXPECT_NEAR(volts[20], volts[9], 1e-9);
}

TEST(Wires, AGroundThatLiftsSlowly) {
    Fault f = at_1500("controller ground", "ground_offset", 1.0);
    f.from = milliseconds(100), f.ramp = milliseconds(200);
    Session session(quiet(), Stroke::rest(1.0), {.faults = Schedule({f}), .monitored = false});
    for (int k = 0; k < 400; ++k) session.step();
    const auto supply = session.record().column("supply");
    EXPECT_NEAR(supply[200], supply[99] - 0.5, 0.02);
    EXPECT_NEAR(supply[300], supply[99] - 1.0, 0.02);
    EXPECT_NEAR(supply[399], supply[99] - 1.0, 0.02);
}

TEST(Wires, EverySingleFaultRunsOnTheBench) {
    const BenchParameters p;
    for (const Fault& f : fault::every_single_wiring_fault(p.pedal, p.body, milliseconds(20))) {
        Session session(p, Stroke::rest(1.0), {.learned = learned(), .faults = Schedule({f})});
        for (int k = 0; k < 60; ++k) session.step();
        EXPECT_TRUE(session.outcome().ok()) << fault::sentence(f) << ": " << session.outcome().reason;
    }
}

/// The readings of a blade held still by its stop under a switching bridge.
double spread(const BenchParameters& p, double duty) {
    SessionOptions options{.monitored = false};
    options.controller = [duty](const control::Input&) {
        return control::Command{.mode = plant::BridgeMode::drive, .duty = duty};
    };
    Session session(p, Stroke::rest(1.0), options);
    double least = 1.0, most = 0.0;
    for (int k = 0; k < 900; ++k) {
        const double r = session.step().input.throttle[0];
        if (k >= 600) least = std::min(least, r), most = std::max(most, r);
    }
    return most - least;
}

TEST(Wires, AShieldKeepsTheSwitchingOut) {
    BenchParameters p = quiet();
    p.acquisition.bits = 16;
    const double code = 1.0 / 65535;
    EXPECT_NEAR(spread(p, -0.4),
                wiring::pickup(p.wiring.harness, p.body.tracks[0], p.acquisition.filter_time) * 13.4 / 5,
                2 * code + 2e-5);
    p.wiring.harness.sensor_wire.shielded = true;
    EXPECT_LE(spread(p, -0.4), code);
}

}  // namespace
