// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/range_learn.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "learn_rig.hpp"
#include "support/bodies.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;
using rig::learn, rig::arrangements, rig::pressed_twice;
using sensing::TrackParameters;

void expect_refused(const rig::Setup& setup, LearnState in, const std::string& part, const LearnParameters& p = {}) {
    const LearnResult r = learn(setup, p).result;
    EXPECT_FALSE(r.accepted);
    EXPECT_EQ(r.stopped_in, in) << r.reason;
    EXPECT_NE(r.refusal, Refusal::none);
    EXPECT_NE(r.reason.find(part), std::string::npos) << r.reason;
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

TEST(RangeLearnRefuses, KeyOffAndATurningEngine) {
    rig::Setup key = pressed_twice();
    key.spoil = [](double t, Input& in) { in.key_on = t < 9.0; };
    expect_refused(key, LearnState::first_release, "key was turned off");
    rig::Setup engine = pressed_twice();
    engine.spoil = [](double, Input& in) { in.engine_still = false; };
    expect_refused(engine, LearnState::precheck, "engine turns");
}

}  // namespace
