// SPDX-License-Identifier: BSD-3-Clause
// Student-competition rules 2024 v1.0 at their boundaries (limits and times read in the published text: 10 %, 100 ms,
// 1 s + 1 s, latch 1 s); the way the ticks are counted is that of monitor/debounce.hpp.
#include <gtest/gtest.h>

#include <set>

#include "made.hpp"

namespace {

using namespace support;

class Implausible : public testing::TestWithParam<const char*> {};

TEST_P(Implausible, TenPerCentForMoreThanATenthOfASecondMustRemoveThePower) {
    const std::string assembly = GetParam();
    const auto judged = [&](double value, int length) {
        return verdict(assembly + " tracks agree",
                       made(1500, {{assembly + ".mismatch", pulse(value, length)}, {"duty", driving}}));
    };
    const Verdict failed = judged(0.101, 101);
    EXPECT_EQ(failed.finding, Finding::failed);
    EXPECT_DOUBLE_EQ(failed.when.value(), 0.601);
    EXPECT_NEAR(*failed.margin, -0.001, 1e-12);
    EXPECT_EQ(judged(0.101, 100).finding, Finding::passed) << "100 ms is not more than 100 ms";
    EXPECT_EQ(judged(0.101, 99).finding, Finding::passed);
    const Verdict ever = judged(0.099, 1000);
    EXPECT_EQ(ever.finding, Finding::passed);
    EXPECT_NEAR(*ever.margin, 0.001, 1e-12);
    EXPECT_EQ(judged(0.100, 1000).finding, Finding::passed) << "more than 10 %";
}

TEST_P(Implausible, PassesWhenThePowerGoesAtOnceAndStaysOff) {
    const std::string assembly = GetParam();
    const auto off_at = [&](int from, int to) {
        return verdict(assembly + " tracks agree",
                       made(1500, {{assembly + ".mismatch", pulse(0.3, 400)},
                                   {"duty", [=](int ms) { return ms >= from && ms < to ? 0.0 : 0.3; }}}));
    };
    EXPECT_EQ(off_at(601, 9999).finding, Finding::passed);
    EXPECT_EQ(off_at(611, 9999).finding, Finding::passed) << "10 ms are allowed for \"at once\"";
    EXPECT_EQ(off_at(612, 9999).finding, Finding::failed);
    EXPECT_EQ(off_at(601, 615).finding, Finding::failed) << "a duty passing zero is no removal";
    EXPECT_DOUBLE_EQ(off_at(601, 800).when.value(), 0.780) << "power came back while the fault was there";
}

INSTANTIATE_TEST_SUITE_P(Assemblies, Implausible, testing::Values("pedal", "throttle"));

/// The blade sticks 20 % above its target from 500 ms on; the power goes at `off`, the engine at `stop`.
Record stuck(int off, int stop, int back = 99999) {
    const auto power = [=](int ms) { return ms < off; };
    return made(4500, {{"opening", [=](int ms) { return ms >= 500 && ms < back ? 0.3 : 0.1; }},
                       {"set_point", [=](int ms) { return !power(ms) && ms < back ? 0.3 : 0.1; }},
                       {"demand", [](int) { return 0.1; }},
                       {"duty", [=](int ms) { return power(ms) ? -0.5 : 0.0; }},
                       {"engine.fuel", [=](int ms) { return ms < stop ? 1.0 : 0.0; }},
                       {"engine.spark", [=](int ms) { return ms < stop ? 1.0 : 0.0; }}});
}

TEST(StudentRules, PositionOffTargetForMoreThanASecondMustRemoveThePower) {
    EXPECT_EQ(verdict("position follows target", stuck(1501, 99999)).finding, Finding::passed);
    EXPECT_EQ(verdict("position follows target", stuck(1511, 99999)).finding, Finding::passed);
    const Verdict late = verdict("position follows target", stuck(1700, 99999));
    EXPECT_EQ(late.finding, Finding::failed);
    EXPECT_DOUBLE_EQ(late.when.value(), 1.501) << "more than 1 s";
    EXPECT_NEAR(*late.margin, -0.1, 1e-12) << "20 % off, 10 % allowed";
    EXPECT_EQ(verdict("position follows target", stuck(99999, 99999, 1501)).finding, Finding::passed)
        << "off target at 0.500 … 1.500 s: just 1 s";
}

TEST(StudentRules, ASecondLaterTheEngineMustStop) {
    // Power off at 1.502 s; off the demand for more than 1 s after that at 2.503 s.
    EXPECT_EQ(verdict("engine stops behind it", stuck(1502, 2503)).finding, Finding::passed);
    EXPECT_EQ(verdict("engine stops behind it", stuck(1502, 2513)).finding, Finding::passed);
    const Verdict never = verdict("engine stops behind it", stuck(1502, 99999));
    EXPECT_EQ(never.finding, Finding::failed);
    EXPECT_DOUBLE_EQ(never.when.value(), 2.503);
    EXPECT_EQ(verdict("engine stops behind it", stuck(1502, 99999, 2503)).finding, Finding::passed)
        << "closed in time: the engine may run on";
}

/// Off target, power removed at 1.502 s; the blade falls to its default position (8 %) at `down`, power back at `on`.
Verdict latch(int down, int on) {
    const auto power = [=](int ms) { return ms < 1502 || ms >= on; };
    const auto opening = [=](int ms) { return ms >= 500 && ms < down ? 0.3 : 0.08; };
    return verdict("shutdown latched",
                   made(5000, {{"opening", opening},
                               {"blade.opening", opening},
                               {"default_opening", [](int) { return 0.08; }},
                               {"set_point", [=](int ms) { return power(ms) ? 0.08 : opening(ms); }},
                               {"duty", [=](int ms) { return power(ms) ? -0.5 : 0.0; }}}));
}

TEST(StudentRules, ThePowerStaysOffUntilTheBladeHasRestedForASecond) {
    EXPECT_EQ(latch(2000, 3001).finding, Finding::passed) << "at rest at 2.000 … 3.000 s: 1 s or more";
    const Verdict early = latch(2000, 3000);
    EXPECT_EQ(early.finding, Finding::failed);
    EXPECT_DOUBLE_EQ(early.when.value(), 3.000);
    EXPECT_EQ(latch(9999, 3000).finding, Finding::failed) << "never came down";
    EXPECT_EQ(latch(2000, 9999).finding, Finding::not_applicable) << "never came back";
}

TEST(StudentRules, BrakeAndThrottleForMoreThanASecond) {
    const auto judged = [](int length, double duty) {
        return verdict("brake and throttle", made(2500, {{"brake.applied", pulse(1.0, length)},
                                                         {"blade.opening", [](int) { return 0.5; }},
                                                         {"braking_opening", [](int) { return 0.2; }},
                                                         {"duty", [=](int) { return duty; }}}));
    };
    EXPECT_EQ(judged(1001, 0.3).finding, Finding::failed);
    EXPECT_EQ(judged(1000, 0.3).finding, Finding::passed);
    EXPECT_EQ(judged(1001, 0.0).finding, Finding::passed);
}

// The same time and limit for a track outside its band (T.4.2.10, IC.4.4.8) as for tracks that differ.
TEST_P(Implausible, OutsideItsBandForMoreThanATenthOfASecondMustRemoveThePower) {
    const std::string assembly = GetParam();
    const auto judged = [&](double volts, int length) {
        return verdict(assembly + " tracks in band",
                       made(1500, {{assembly + ".outside", pulse(volts, length)}, {"duty", driving}}))
            .finding;
    };
    EXPECT_EQ(judged(0.001, 101), Finding::failed);
    EXPECT_EQ(judged(0.001, 100), Finding::passed);
    EXPECT_EQ(judged(0.0, 900), Finding::passed);
}

TEST(StudentRules, TheIndependentDevice) {
    const auto judged = [](const char* name, const char* signal, double value, int length, double fuel) {
        return verdict(name, made(2500, {{signal, pulse(value, length)},
                                         {"blade.opening", [](int) { return 0.101; }},
                                         {"engine.fuel", [=](int) { return fuel; }}}))
            .finding;
    };
    EXPECT_EQ(judged("independent device: hard braking", "brake.hard", 1.0, 1001, 1.0), Finding::failed);
    EXPECT_EQ(judged("independent device: hard braking", "brake.hard", 1.0, 1000, 1.0), Finding::passed);
    EXPECT_EQ(judged("independent device: hard braking", "brake.hard", 1.0, 1001, 0.0), Finding::passed);
    EXPECT_EQ(judged("independent device: throttle signal", "throttle.outside", 0.1, 101, 1.0), Finding::failed);
    EXPECT_EQ(judged("independent device: throttle signal", "throttle.outside", 0.1, 100, 1.0), Finding::passed);
    EXPECT_EQ(judged("independent device: brake signal", "brake.outside", 0.1, 101, 1.0), Finding::failed);
    EXPECT_EQ(judged("independent device: brake signal", "brake.outside", 0.1, 100, 1.0), Finding::passed);
    EXPECT_EQ(judged("independent device: its power", "device.undervoltage", 0.1, 0, 1.0), Finding::failed);
    EXPECT_EQ(judged("independent device: its power", "device.undervoltage", 0.1, 900, 0.0), Finding::passed);
    EXPECT_EQ(judged("independent device: its power", "device.undervoltage", 0.0, 900, 1.0), Finding::passed);
    EXPECT_EQ(judged("independent device: reset", "device.tripped", 1.0, 100, 1.0), Finding::failed);
    EXPECT_EQ(judged("independent device: reset", "device.tripped", 1.0, 9999, 1.0), Finding::passed);
}

/// Foot off from 0.5 s on, blade above idle until `down`. Times of 49 CFR 571.124 S5.3 from memory.
Finding returned(const char* name, int down) {
    return verdict(name, made(5000, {{"pedal.travel", [](int ms) { return ms < 500 ? 1.0 : 0.0; }},
                                     {"idle_opening", [](int) { return 0.1; }},
                                     {"blade.opening", [=](int ms) { return ms < down ? 0.9 : 0.1; }}}))
        .finding;
}

TEST(ReturnRules, IdleWithinOneTwoAndThreeSeconds) {
    EXPECT_EQ(returned("return to idle, light", 1501), Finding::passed);
    EXPECT_EQ(returned("return to idle, light", 1502), Finding::failed);
    EXPECT_EQ(returned("return to idle, heavy", 2501), Finding::passed);
    EXPECT_EQ(returned("return to idle, heavy", 2502), Finding::failed);
    EXPECT_EQ(returned("return to idle, cold", 3501), Finding::passed);
    EXPECT_EQ(returned("return to idle, cold", 3502), Finding::failed);
}

TEST(ReturnRules, UnaskedOpeningWithinTheFaultTolerantTime) {
    const auto judged = [](double opening, int length) {
        return verdict("no unasked opening", made(2000, {{"blade.opening", pulse(opening, length)}}));
    };
    EXPECT_EQ(judged(0.5, 500).finding, Finding::passed);
    EXPECT_EQ(judged(0.5, 501).finding, Finding::failed);
    EXPECT_NEAR(*judged(0.5, 501).margin, -0.4, 1e-12);
    EXPECT_EQ(judged(0.1, 1400).finding, Finding::passed);
}

TEST(IdleRules, WithinTwoHundredAboveAndOneHundredBelow) {
    constexpr double rpm = 0.10471975511965977;  // [rad/s] 2π/60
    const auto judged = [](double off) {
        return verdict("idle band", made(6000, {{"engine.spark", [](int) { return 1.0; }},
                                                {"engine.idle_set_point", [](int) { return 800 * rpm; }},
                                                {"engine.speed", [=](int) { return (800 + off) * rpm; }}}))
            .finding;
    };
    EXPECT_EQ(judged(199), Finding::passed);
    EXPECT_EQ(judged(201), Finding::failed);
    EXPECT_EQ(judged(-99), Finding::passed);
    EXPECT_EQ(judged(-101), Finding::failed);
}

// 157 rad/s is 1,500 1/min, which the published three-level concept is remembered with.
TEST(ReactionRules, TheSpeedIsLimitedAfterFiveSeconds) {
    const auto judged = [](double speed, int length) {
        return verdict("speed limit", made(9000, {{"speed_limit", pulse(157.0, length)},
                                                  {"engine.speed", [=](int) { return speed; }}}))
            .finding;
    };
    EXPECT_EQ(judged(177.1, 5000), Finding::failed);
    EXPECT_EQ(judged(176.9, 8000), Finding::passed);
    EXPECT_EQ(judged(177.1, 4999), Finding::not_applicable);
}

TEST(Rules, EachSaysWhereItComesFromAndSpeaksOfKnownSignals) {
    std::set<std::string> names, known;
    for (const auto& s : rule_signals()) known.insert(s.name);
    for (const auto& rule : built_in_rules()) {
        EXPECT_TRUE(names.insert(rule.name).second) << rule.name;
        EXPECT_NO_THROW(check(rule, "rule"));
        for (const auto* text : {&rule.set, &rule.source, &rule.clause, &rule.sentence, &rule.basis})
            EXPECT_FALSE(text->empty()) << rule.name;
        for (const auto* f : {&rule.applies, &rule.requirement})
            for (const auto& name : signals_of(*f)) EXPECT_TRUE(known.contains(name)) << rule.name << ": " << name;
    }
}

/// This bench's own: stalled is status 3 (engine.hpp), "engine off" reaction 4.
TEST(EngineRules, AnEngineThatStallsFailsUnlessKeyOrLadderSwitchedItOff) {
    const auto judged = [](double status, double spark, double reaction) {
        return verdict("keeps running", made(500, {{"engine.status", [=](int ms) { return ms < 300 ? 2.0 : status; }},
                                                   {"engine.spark", [=](int ms) { return ms < 300 ? 1.0 : spark; }},
                                                   {"reaction", [=](int ms) { return ms < 300 ? 0.0 : reaction; }}}))
            .finding;
    };
    EXPECT_EQ(judged(2.0, 1.0, 0.0), Finding::passed);
    EXPECT_EQ(judged(3.0, 1.0, 0.0), Finding::failed);
    EXPECT_EQ(judged(3.0, 1.0, 3.0), Finding::failed) << "on its springs";
    EXPECT_EQ(judged(3.0, 1.0, 4.0), Finding::passed);
    EXPECT_EQ(judged(0.0, 0.0, 0.0), Finding::passed);
}

}  // namespace
