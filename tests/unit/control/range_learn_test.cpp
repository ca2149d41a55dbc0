// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/range_learn.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <set>
#include <sstream>

#include "rig.hpp"
#include "support/bodies.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;
using sensing::TrackParameters;
using Tracks = std::vector<TrackParameters>;

struct Learned {
    LearnResult result;
    std::vector<rig::Sample> samples;
    double pedal_time = 0.0;  ///< [s] at which it began to wait for the first press
    std::set<std::pair<LearnState, LearnState>> taken{};
};

Learned learn(rig::Setup setup, const LearnParameters& p = {}) {
    RangeLearn unit(p, setup.pedal.size(), setup.throttle.size(), milliseconds(1));
    Learned out;
    LearnState before = unit.state();
    const auto step = [&](const Input& in) {
        const Command command = unit.step(in);
        if (unit.state() != before) out.taken.emplace(before, unit.state());
        before = unit.state();
        if (unit.state() == LearnState::first_press && out.pedal_time == 0.0) out.pedal_time = seconds(in.time);
        return command;
    };
    out.samples = rig::run(setup, step, 60.0, [&] { return unit.finished(); });
    out.result = unit.result();
    EXPECT_TRUE(unit.finished()) << "the learn never ended";
    EXPECT_EQ(out.result.accepted, out.result.range.has_value());
    EXPECT_EQ(out.result.accepted, out.result.reason.empty());
    const Command after = unit.step({});
    EXPECT_EQ(after.mode, plant::BridgeMode::high_impedance);
    return out;
}

rig::Setup pressed_twice() {
    rig::Setup s;
    s.foot = [](double t) { return rig::two_presses(t); };
    return s;
}

void expect_refused(const rig::Setup& setup, LearnState in, const std::string& part, const LearnParameters& p = {}) {
    const LearnResult r = learn(setup, p).result;
    EXPECT_FALSE(r.accepted);
    EXPECT_EQ(r.stopped_in, in) << r.reason;
    EXPECT_NE(r.refusal, Refusal::none);
    EXPECT_NE(r.reason.find(part), std::string::npos) << r.reason;
}

struct Arrangement {
    const char* name;
    Tracks tracks;
};

void PrintTo(const Arrangement& a, std::ostream* out) { *out << a.name; }

std::vector<Arrangement> arrangements() {
    const auto line = [](double a, double b) { return TrackParameters{.position = {0.0, 1.0}, .ratio = {a, b}}; };
    const TrackParameters knee{.position = {0.0, 0.5, 1.0}, .ratio = {0.1, 0.92, 0.92}};
    TrackParameters noisy_knee = knee;
    noisy_knee.noise = 0.0008;
    return {{"HalfSlope", {line(0.15, 0.78), line(0.075, 0.39)}},
            {"ParallelWithOffset", {line(0.16, 0.62), line(0.317, 0.777)}},
            {"Opposed", {line(0.12, 0.88), line(0.88, 0.12)}},
            {"Knee", {line(0.3, 0.8), knee}},
            {"NoisyKnee", {line(0.1, 0.5), noisy_knee}},
            {"ThreeTracks", {line(0.1, 0.58), line(0.16, 0.94), line(0.9, 0.3)}}};
}

class GoodLearn : public testing::TestWithParam<std::tuple<support::Body, Arrangement>> {};

TEST_P(GoodLearn, IsAcceptedAndRight) {
    const auto& [body, arrangement] = GetParam();
    rig::Setup setup = pressed_twice();
    setup.body = body.mechanics;
    setup.pedal = setup.throttle = arrangement.tracks;
    const Learned l = learn(setup);
    ASSERT_TRUE(l.result.accepted) << l.result.reason;
    EXPECT_LT(l.pedal_time, 7.0) << "the foot presses at 8 s";
    double fastest = 0.0;
    for (const auto& s : l.samples)
        if (s.command.mode == plant::BridgeMode::drive && s.command.duty > 0.0)
            fastest = std::max(fastest, std::abs(s.speed));
    EXPECT_LT(fastest, 5.0) << "rad/s: the sweep is meant to be slow";
    for (const auto* tracks : {&l.result.range->pedal, &l.result.range->throttle}) {
        ASSERT_EQ(tracks->size(), arrangement.tracks.size());
        for (std::size_t k = 0; k < tracks->size(); ++k) {
            const sensing::Track truth(arrangement.tracks[k]);
            for (std::size_t i = 0; i < curve_knots; ++i)
                EXPECT_NEAR((*tracks)[k].curve[i], truth.characteristic(static_cast<double>(i) / 32.0), 0.004)
                    << "track " << k + 1 << ", knot " << i;
        }
    }
    // Where friction let the springs leave the blade: an opener spring weaker than the friction lifts nothing. The
    // simple friction has no rest, the blade creeps on after it has been read.
    const bool creeps = body.mechanics.friction.kind == plant::FrictionKind::simple;
    EXPECT_NEAR(l.result.range->default_opening, l.samples[7500].opening, creeps ? 0.02 : 0.001);
    EXPECT_EQ(l.samples[7500].command.mode, plant::BridgeMode::high_impedance);
}

INSTANTIATE_TEST_SUITE_P(Pairs, GoodLearn,
                         testing::Combine(testing::ValuesIn(support::bodies()), testing::ValuesIn(arrangements())),
                         [](const auto& test) { return std::get<0>(test.param).name + std::get<1>(test.param).name; });

TEST(RangeLearn, WorksFromLowToHighSupply) {
    for (const double supply : {10.5, 15.5}) {
        rig::Setup setup = pressed_twice();
        setup.supply = supply;
        const LearnResult r = learn(setup).result;
        EXPECT_TRUE(r.accepted) << supply << " V: " << r.reason;
    }
}

TEST(RangeLearn, LimitsTheDutyAndLetsGoForThePedal) {
    for (const auto& s : learn(pressed_twice()).samples) {
        EXPECT_LE(s.command.duty, 0.70 + 1e-12);
        EXPECT_GE(s.command.duty, -0.35 - 1e-12);
        if (s.time > 7.0) {
            EXPECT_EQ(s.command.mode, plant::BridgeMode::high_impedance);
        }
    }
}

// A faulty learn that nothing can refuse: the foot stood on the pedal all the time, so the range begins there.
TEST(RangeLearn, ARestingFootIsLearnedAsRest) {
    rig::Setup setup;
    setup.foot = [](double t) { return 0.3 + 0.7 * rig::two_presses(t); };
    const LearnResult r = learn(setup).result;
    ASSERT_TRUE(r.accepted) << r.reason;
    EXPECT_NEAR(r.range->pedal[0].start(), 0.15 + 0.3 * 0.63, 0.003);
    EXPECT_NEAR(r.range->pedal[0].end(), 0.78, 0.003);
}

TEST(RangeLearnRefuses, PedalNeverPressed) { expect_refused({}, LearnState::first_press, "not pressed fully"); }

TEST(RangeLearnRefuses, PedalPressedOnce) {
    rig::Setup setup;
    setup.foot = [](double t) { return rig::two_presses(t, 0.0); };
    expect_refused(setup, LearnState::second_press, "only once");
}

TEST(RangeLearnRefuses, SecondPressHalf) {
    rig::Setup setup;
    setup.foot = [](double t) { return rig::two_presses(t, 0.5); };
    expect_refused(setup, LearnState::validating, "presses differ");
}

TEST(RangeLearnRefuses, PedalNotReleased) {
    rig::Setup setup;
    setup.foot = [](double t) { return t < 10.0 ? rig::two_presses(t) : 1.0; };
    expect_refused(setup, LearnState::first_release, "did not come back");
}

TEST(RangeLearnRefuses, PedalHeldDownAndReleasedTwice) {
    rig::Setup setup;
    setup.foot = [](double t) { return 1.0 - rig::two_presses(t); };
    expect_refused(setup, LearnState::validating, "must rise");
}

TEST(RangeLearnRefuses, MotorLeadsExchanged) {
    rig::Setup setup = pressed_twice();
    setup.leads_exchanged = true;
    expect_refused(setup, LearnState::closing, "motor leads exchanged");
    setup.body = support::set_b();
    expect_refused(setup, LearnState::closing, "motor leads exchanged");
}

TEST(RangeLearnRefuses, StuckBlade) {
    rig::Setup setup = pressed_twice();
    setup.body.friction.coulomb = setup.body.friction.breakaway = 10.0;
    setup.body.friction.bristle_stiffness = 1e4;
    expect_refused(setup, LearnState::resting, "did not move");
}

TEST(RangeLearnRefuses, BladeBlockedHalfWay) {
    rig::Setup setup = pressed_twice();
    setup.body.stops.open_angle = 1.48;
    setup.throttle = {TrackParameters{.position = {0.0, 1.0}, .ratio = {0.12, 0.38}},
                      TrackParameters{.position = {0.0, 1.0}, .ratio = {0.88, 0.62}}};
    expect_refused(setup, LearnState::resting, "Throttle track 1 changed by only 26.0 %");
}

TEST(RangeLearnRefuses, DeadTracks) {
    for (const int track : {0, 1}) {
        rig::Setup throttle = pressed_twice();
        throttle.spoil = [track](double, Input& in) { in.throttle[track] = 0.5; };
        expect_refused(throttle, LearnState::resting,
                       "Throttle track " + std::to_string(track + 1) + " changed by only");
        rig::Setup pedal = pressed_twice();
        pedal.spoil = [track](double, Input& in) { in.pedal[track] = 0.3; };
        expect_refused(pedal, LearnState::validating, "Pedal track " + std::to_string(track + 1) + " changed by only");
    }
}

TEST(RangeLearnRefuses, ReadingOutOfTheElectricalBand) {
    rig::Setup from_the_start = pressed_twice();
    from_the_start.spoil = [](double, Input& in) { in.pedal[1] = 0.0; };
    expect_refused(from_the_start, LearnState::precheck, "Pedal track 2 reads 0.0 %");
    rig::Setup later = pressed_twice();
    later.spoil = [](double t, Input& in) { in.throttle[0] = t > 2.0 ? 1.0 : in.throttle[0]; };
    expect_refused(later, LearnState::sweeping_open, "Throttle track 1 reads 100.0 %");
}

TEST(RangeLearnRefuses, SupplyOutOfItsWindow) {
    rig::Setup setup = pressed_twice();
    setup.supply = 9.0;
    expect_refused(setup, LearnState::precheck, "The supply is 9 V");
    setup.supply = 17.0;
    expect_refused(setup, LearnState::precheck, "The supply is 17 V");
}

TEST(RangeLearnRefuses, MotorNotPermitted) {
    rig::Setup setup = pressed_twice();
    setup.spoil = [](double t, Input& in) { in.motor_permitted = t < 3.0; };
    expect_refused(setup, LearnState::sweeping_open, "does not permit the motor");
}

TEST(RangeLearnRefuses, BrokenReturnSpring) {
    rig::Setup setup = pressed_twice();
    setup.body.springs.open_preload = setup.body.springs.open_rate = 0.0;
    expect_refused(setup, LearnState::resting, "return spring");
}

TEST(RangeLearnRefuses, OneWireOnBothPins) {
    rig::Setup setup = pressed_twice();
    setup.spoil = [](double, Input& in) { in.pedal[1] = in.pedal[0]; };
    expect_refused(setup, LearnState::validating, "read the same");
}

TEST(RangeLearnRefuses, SignalWiresOfOpposedPedalTracksExchanged) {
    rig::Setup setup = pressed_twice();
    setup.pedal = arrangements()[2].tracks;
    setup.spoil = [](double, Input& in) { std::swap(in.pedal[0], in.pedal[1]); };
    expect_refused(setup, LearnState::validating, "must rise");
}

TEST(RangeLearnRefuses, NoisyTrack) {
    rig::Setup setup = pressed_twice();
    setup.throttle[0].noise = 0.02;
    expect_refused(setup, LearnState::closing, "noisy track");
}

TEST(RangeLearn, OneBadSampleIsForgiven) {
    rig::Setup setup = pressed_twice();
    setup.spoil = [](double t, Input& in) { in.supply = std::fmod(t, 0.5) < 0.02 ? 5.0 : in.supply; };
    const LearnResult r = learn(setup).result;
    EXPECT_TRUE(r.accepted) << r.reason;
}

TEST(RangeLearn, RefusesBadSettings) {
    EXPECT_THROW(RangeLearn({}, 1, 2, milliseconds(1)), InvalidParameter);
    EXPECT_THROW(RangeLearn({}, 2, 4, milliseconds(1)), InvalidParameter);
    EXPECT_THROW(RangeLearn({}, 2, 2, milliseconds(0)), InvalidParameter);
    EXPECT_THROW(RangeLearn({.closing_duty = std::nan("")}, 2, 2, milliseconds(1)), InvalidParameter);
}

TEST(RangeLearnRefuses, KeyOffAndATurningEngine) {
    rig::Setup key = pressed_twice();
    key.spoil = [](double t, Input& in) { in.key_on = t < 9.0; };
    expect_refused(key, LearnState::first_release, "key was turned off");
    rig::Setup engine = pressed_twice();
    engine.spoil = [](double, Input& in) { in.engine_still = false; };
    expect_refused(engine, LearnState::precheck, "engine turns");
}

TEST(RangeLearn, MeasuresWhatItSaw) {
    const LearnResult r = learn(pressed_twice()).result;
    EXPECT_EQ(r.measures.default_opening, r.range->default_opening);
    EXPECT_LT(r.measures.default_repeat, 0.01);
    EXPECT_GT(r.measures.return_time, 0.05);
    EXPECT_LT(r.measures.return_time, 0.5);
    EXPECT_GT(r.measures.opener_time, 0.01);
    EXPECT_NEAR(r.measures.throttle_noise, 0.0002, 0.0001) << "rms of the demo tracks, shares of full scale";
    EXPECT_NEAR(r.range->supply, 13.5, 1e-9);
    EXPECT_EQ(r.range->count, 1);
    EXPECT_GT(r.range->learned_at, 15.0);
}

TEST(RangeLearn, OnePressIsEnoughForTheCareless) {
    rig::Setup setup;
    setup.foot = [](double t) { return rig::two_presses(t, 0.0); };
    const LearnResult r = learn(setup, learn_parameters(Strictness::careless)).result;
    EXPECT_TRUE(r.accepted) << r.reason;
}

TEST(RangeLearn, HealthyPartsPassTheStrict) {
    const LearnResult r = learn(pressed_twice(), learn_parameters(Strictness::strict)).result;
    EXPECT_TRUE(r.accepted) << r.reason;
}

/// A careless controller takes the exchanged leads as they are and learns the travel upside down.
TEST(RangeLearn, TheCarelessLearnsTheTravelUpsideDown) {
    rig::Setup setup = pressed_twice();
    setup.leads_exchanged = true;
    const LearnResult r = learn(setup, learn_parameters(Strictness::careless)).result;
    ASSERT_TRUE(r.accepted) << r.reason;
    EXPECT_NEAR(r.range->throttle[0].start(), 0.88, 0.01) << "the open stop";
    EXPECT_NEAR(r.range->throttle[0].end(), 0.12, 0.01) << "the closed stop";
}

/// The power is cut after every single tick: what the memory then holds is the old record or the new one, never
/// anything else; and after every single byte of the write.
TEST(RangeLearn, ACutAtAnyInstantLeavesTheOldRecordOrTheNew) {
    const LearnedRange old = *learn(pressed_twice()).result.range;
    rig::Setup setup = pressed_twice();
    setup.pedal = arrangements()[2].tracks;
    RangeLearn unit({}, 2, 2, milliseconds(1), RangeStore(old));
    int cuts = 0, before = 0, after = 0;
    (void)rig::run(
        setup,
        [&](const Input& in) {
            const Command command = unit.step(in);
            const StoredRange now = unit.store().read();
            EXPECT_EQ(now.state, MemoryState::good);
            ++cuts;
            (now.range == old ? before : after) += 1;
            return command;
        },
        60.0, [&] { return unit.finished(); });
    ASSERT_TRUE(unit.result().accepted) << unit.result().reason;
    EXPECT_EQ(unit.store().read().range, unit.result().range);
    EXPECT_EQ(unit.result().range->count, 2);
    EXPECT_GT(cuts, 10000);
    EXPECT_EQ(before + after, cuts);
    EXPECT_EQ(after, 1) << "the last tick alone brings the new record into force";
}

TEST(LearnState, EveryStateHasAName) {
    for (const auto& [state, text] : names(Tag<LearnState>{})) EXPECT_NE(std::string(text), "");
}

/// The runs take every arrow of the list and no other; each refusal is an arrow of its own.
TEST(LearnState, TheArrowsAreThoseThatAreTaken) {
    std::set<std::pair<LearnState, LearnState>> taken;
    rig::Setup once;
    once.foot = [](double t) { return rig::two_presses(t, 0.0); };
    taken.merge(learn(pressed_twice()).taken);
    taken.merge(learn(once, learn_parameters(Strictness::careless)).taken);
    std::set<std::pair<LearnState, LearnState>> listed;
    for (const LearnTransition& t : learn_transitions()) listed.emplace(t.from, t.to);
    EXPECT_EQ(taken, listed);
}

TEST(LearnState, TheDiagramOfThePageIsTheOneOfTheCode) {
    std::ifstream file(TWINTRACK_CONTROL_PAGE);
    ASSERT_TRUE(file) << "the page cannot be read";
    std::stringstream page;
    page << file.rdbuf();
    EXPECT_NE(page.str().find("```mermaid\n" + learn_diagram() + "```\n"), std::string::npos)
        << "lib/control/README.md should show:\n"
        << learn_diagram();
}

}  // namespace
