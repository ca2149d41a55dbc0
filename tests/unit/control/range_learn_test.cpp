// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/range_learn.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "learn_rig.hpp"
#include "support/bodies.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;
using rig::learn, rig::arrangements, rig::pressed_twice, rig::Arrangement, rig::Learned;
using sensing::TrackParameters;

class GoodLearn : public testing::TestWithParam<std::tuple<support::Body, Arrangement>> {};

TEST_P(GoodLearn, IsAcceptedAndRight) {
    const auto& [body, arrangement] = GetParam();
    rig::Setup setup = pressed_twice();
    setup.body = body.mechanics;
    setup.pedal = setup.throttle = arrangement.tracks;
    LearnParameters p;  // an opener spring weaker than the friction, as the one invented for Set A, lifts nothing
    const bool lifts = body.mechanics.springs.close_preload >= body.mechanics.friction.breakaway;
    if (!lifts) p.limits.default_repeat_most = 0.10;
    const Learned l = learn(setup, p);
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
    // Where friction let the springs leave the blade. The simple friction has no rest, the blade creeps on after it
    // has been read.
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

}  // namespace
