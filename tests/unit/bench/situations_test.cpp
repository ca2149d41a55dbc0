// SPDX-License-Identifier: BSD-3-Clause
// Situations of the trade on a bench. Expectations are analytic unless a test says otherwise.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "support/refusal.hpp"
#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"
#include "twintrack/core/exponential.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;
using fault::Fault;
using fault::Schedule;

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *learn(BenchParameters{}).result.range;
    return range;
}

BenchParameters quiet() {
    BenchParameters p;
    for (auto* tracks : {&p.pedal.tracks, &p.body.tracks})
        for (auto& t : *tracks) t.noise = 0.0;
    return p;
}

Stroke foot(double travel, double until = 6.0) { return Stroke({0.0, 0.5, 1.0, until}, {0.0, 0.0, travel, travel}); }

std::string all_codes(const bench::Run& r) {
    std::string all;
    for (const auto& c : r.codes) all += c.text() + " ";
    return all;
}

std::string refusal(BenchParameters p, const std::vector<Fault>& faults) {
    try {
        Session session(p, Stroke::rest(1.0), {.faults = Schedule(faults)});
    } catch (const InvalidParameter& e) {
        return e.what();
    }
    return "accepted";
}

/// Without a filter the converter takes one instant of each period: the reading is there or not, and its mean is right
/// whatever the phase of the contact against the clock.
TEST(LooseContact, TheMeanReadingIsRightAtEveryPhase) {
    BenchParameters p = quiet();
    p.acquisition.filter_time = 0.0;
    p.record_period = 1.0;
    Session healthy(p, Stroke::rest(1.0), {.monitored = false});
    const double whole = healthy.step().input.pedal[0];
    double sum = 0.0;
    constexpr int phases = 1000, ticks = 100;
    for (int phase = 0; phase < phases; ++phase) {
        p.case_number = phase;
        const Fault loose{.where = "pedal signal 1",
                          .what = "open",
                          .from = Time{2000 + phase},
                          .every = milliseconds(1),
                          .lasting = Time{800}};
        Session session(p, Stroke::rest(1.0), {.faults = Schedule({loose}), .monitored = false});
        for (int k = 0; k < 3; ++k) session.step();
        for (int k = 0; k < ticks; ++k) sum += session.step().input.pedal[0];
    }
    EXPECT_NEAR(sum / (phases * ticks) / whole, 0.2, 0.01);
}

TEST(Connector, UnpluggedAndPluggedInAgainWithTheKeyOn) {
    const Fault apart{.where = "pedal main", .what = "unplugged", .from = milliseconds(2000), .to = milliseconds(3000)};
    const auto r = run(quiet(), foot(0.5), {}, {.learned = learned(), .faults = Schedule({apart})});
    const auto track = r.record.column("pedal.track1"), blade = r.record.column("blade.opening");
    EXPECT_LT(track[2500], 0.1 * track[1999]) << "the pull resistor's rail";
    EXPECT_NEAR(track[3010], track[1999], 1e-6);
    EXPECT_LT(blade[2600], 0.12);
    EXPECT_NE(all_codes(r).find("P2122"), std::string::npos) << all_codes(r);
    EXPECT_NE(all_codes(r).find("P2127"), std::string::npos) << all_codes(r);
    const Fault body{.where = "throttle main", .what = "unplugged", .from = milliseconds(2000)};
    const auto off = run(quiet(), foot(0.5), {}, {.learned = learned(), .faults = Schedule({body})});
    EXPECT_EQ(off.record.column("motor.current").back(), 0.0) << "the motor's contacts are in it";
    EXPECT_NE(refusal({}, {{.where = "pedal side", .what = "unplugged"}}).find("there are: pedal main, throttle main"),
              std::string::npos);
}

/// A ratiometric track follows its supply: 3.3 V in place of 5 V give 66 % of each reading.
TEST(Reference, AnotherVoltageOnIt) {
    for (const double volts : {3.3, 12.0}) {
        const Fault f{
            .where = "throttle regulator", .what = "regulator_voltage", .from = milliseconds(1500), .amount = volts};
        const auto r = run(quiet(), foot(0.2, 3.0), {}, {.learned = learned(), .faults = Schedule({f})});
        EXPECT_NE(all_codes(r).find(volts < 5.0 ? "P0652-16" : "P0653-17"), std::string::npos) << all_codes(r);
        const auto track = r.record.column("throttle.track1");
        if (volts < 5.0) {
            EXPECT_NEAR(track[1501], 0.66 * track[1499], 0.05);
        }
        EXPECT_LE(r.record.column("blade.opening").back(), 0.12) << volts;
    }
    EXPECT_NE(refusal({}, {{.where = "pedal signal 1", .what = "regulator_voltage", .amount = 3.3}})
                  .find("there are: pedal regulator, throttle regulator"),
              std::string::npos);
}

/// Both tracks altered alike agree with each other: no check here can see it.
TEST(SignalBox, AGainOnBothTracksIsNotSeen) {
    const Fault box{.where = "pedal.line", .what = "gain", .from = milliseconds(100), .amount = 1.5};
    const auto r = run(quiet(), foot(0.4, 3.0), {}, {.learned = learned(), .faults = Schedule({box})});
    const auto plain = run(quiet(), foot(0.6, 3.0), {}, {.learned = learned()});
    EXPECT_TRUE(r.codes.empty()) << all_codes(r);
    EXPECT_NEAR(r.record.column("blade.opening").back(), plain.record.column("blade.opening").back(), 0.01);
}

TEST(SignalBox, OnOneTrackItIsSeenByCorrelation) {
    const Fault box{.where = "pedal.track1", .what = "gain", .from = milliseconds(100), .amount = 1.5};
    const auto r = run(quiet(), foot(0.4, 3.0), {}, {.learned = learned(), .faults = Schedule({box})});
    EXPECT_NE(all_codes(r).find("P2138"), std::string::npos) << all_codes(r);
}

/// First order (analytic): 1 − e⁻¹ of a step after τ.
TEST(SignalBox, ALagDelaysAStepByItsTimeConstant) {
    BenchParameters p = quiet();
    p.wiring.kind = WiringKind::ideal;
    const Stroke step({0.0, 1.0, 1.001, 3.0}, {0.0, 0.0, 1.0, 1.0});
    const auto r =
        run(p, step, {},
            {.learned = learned(), .faults = Schedule({{.where = "pedal.line", .what = "lag", .amount = 0.2}})});
    const auto track = r.record.column("pedal.track1");
    const double rest = track[999], change = 5.0 * (p.pedal.tracks[0].ratio[1] - p.pedal.tracks[0].ratio[0]);
    EXPECT_NEAR((track[1200] - rest) / change, 1.0 - exponential(-1.0), 0.003);
    EXPECT_NEAR((track[1600] - rest) / change, 1.0 - exponential(-3.0), 0.003);
    EXPECT_TRUE(r.codes.empty()) << "both tracks alike: " << all_codes(r);
    const auto one =
        run(p, step, {},
            {.learned = learned(), .faults = Schedule({{.where = "pedal.track2", .what = "lag", .amount = 0.2}})});
    EXPECT_NE(all_codes(one).find("P2138"), std::string::npos) << all_codes(one);
}

BenchParameters with_switch() {
    BenchParameters p;
    p.pedal.idle_switch.fitted = true;
    return p;
}

TEST(IdleSwitch, IsQuietAndChangesNothingWhileItIsWell) {
    const Stroke drive({0.0, 0.6, 0.65, 1.5, 1.55, 2.0, 4.0, 6.0}, {0.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.3, 0.0});
    const auto with = run(with_switch(), drive, {}, {.learned = learned()});
    const auto without = run({}, drive, {}, {.learned = learned()});
    EXPECT_TRUE(with.codes.empty()) << all_codes(with);
    const auto a = with.record.column("blade.opening"), b = without.record.column("blade.opening");
    for (const std::size_t k : {1400u, 1900u}) EXPECT_NEAR(a[k], b[k], 0.01) << k;
}

TEST(IdleSwitch, AgainstTheTracksLeavesIdleAndACode) {
    for (const char* what : {"stuck_off", "stuck_on"}) {
        const double travel = std::string(what) == "stuck_off" ? 0.5 : 0.0;
        const Fault f{.where = "pedal.idle_switch", .what = what, .from = milliseconds(2000)};
        const auto r = run(with_switch(), foot(travel), {}, {.learned = learned(), .faults = Schedule({f})});
        EXPECT_EQ(all_codes(r), "P0510-64 ") << what;
        EXPECT_NEAR(seconds(r.codes[0].confirmed), 2.1, 0.01) << "100 ms";
        EXPECT_EQ(r.record.column("reaction").back(), static_cast<double>(monitor::Reaction::idle));
        EXPECT_LT(r.record.column("blade.opening")[2300], 0.12) << "idle, before and after it is confirmed";
    }
}

/// What the switch is for: both tracks say "foot on", and the foot is off.
TEST(IdleSwitch, WithholdsItsConsentFromTwoTracksThatAgreeWrongly) {
    const Fault box{.where = "pedal.line", .what = "offset", .from = milliseconds(2000), .amount = 0.15};
    BenchParameters p = with_switch();
    p.pedal.tracks[1] = p.pedal.tracks[0];
    p.pedal.tracks[1].ratio = {0.1, 0.73};  // in parallel: one shift is the same travel on both
    const auto range = *learn(p).result.range;
    const auto r = run(p, Stroke::rest(5.0), {}, {.learned = range, .faults = Schedule({box})});
    EXPECT_LT(
        *std::max_element(r.record.column("blade.opening").begin() + 1000, r.record.column("blade.opening").end()),
        0.12);
    EXPECT_NE(all_codes(r).find("P0510-64"), std::string::npos) << all_codes(r);
    p.pedal.idle_switch.fitted = false;
    const auto without = run(p, Stroke::rest(5.0), {}, {.learned = range, .faults = Schedule({box})});
    EXPECT_GT(without.record.column("blade.opening")[2400], 0.15) << "nothing else objects at once";
}

TEST(IdleSwitch, RefusesWhatItCannotBe) {
    EXPECT_NE(refusal({}, {{.where = "pedal.idle_switch", .what = "stuck_on"}}).find("has no idle switch"),
              std::string::npos);
    BenchParameters p = with_switch();
    p.pedal.idle_switch.hysteresis = p.pedal.idle_switch.opens_at;
    EXPECT_NE(refusal(p, {}).find("never closes"), std::string::npos);
    support::expect_every_field_guarded<sensing::IdleSwitchParameters>();
}

BenchParameters with_play(double play) {
    BenchParameters p = quiet();
    p.body.mechanics.backlash.play = play;
    return p;
}

TEST(Backlash, NoneIsNoneBitForBit) {
    BenchParameters other = quiet();
    other.body.mechanics.backlash = {.play = 0.0, .motor_share = 0.3, .stiffness = 50.0, .dissipation = 3.0};
    const auto a = run(quiet(), foot(0.5, 2.0), {}, {.learned = learned()});
    const auto b = run(other, foot(0.5, 2.0), {}, {.learned = learned()});
    const auto x = a.record.column("blade.angle"), y = b.record.column("blade.angle");
    EXPECT_TRUE(std::equal(x.begin(), x.end(), y.begin(), y.end()));
}

/// Springs and teeth on one side: away from the default position the blade follows as without play.
TEST(Backlash, TheLoopStillHoldsTheBlade) {
    const auto a = run(quiet(), foot(0.5, 3.0), {}, {.learned = learned()});
    const auto b = run(with_play(0.02), foot(0.5, 3.0), {}, {.learned = learned()});
    ASSERT_TRUE(b.outcome.ok()) << b.outcome.reason;
    EXPECT_TRUE(b.codes.empty()) << all_codes(b);
    EXPECT_NEAR(b.record.column("blade.opening").back(), a.record.column("blade.opening").back(), 0.01);
}

TEST(Backlash, RefusesWhatItCannotBe) { support::expect_every_field_guarded<plant::BacklashParameters>(); }

}  // namespace
