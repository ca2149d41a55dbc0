// SPDX-License-Identifier: BSD-3-Clause
// What a controller must obey, whatever the foot asks; the figures are choices of these tests.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "rig.hpp"
#include "twintrack/control/controller.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;

LearnedRange learned_of(const plant::BodyMechanics& b) {
    const double travel = b.stops.open_angle - b.stops.closed_angle;
    const auto line = [](const sensing::TrackParameters& t) { return straight_track(t.ratio.front(), t.ratio.back()); };
    LearnedRange r;
    for (const auto& t : sensing::PedalParameters{}.tracks) r.pedal.push_back(line(t));
    for (const auto& t : sensing::ThrottleBodyParameters{}.tracks) r.throttle.push_back(line(t));
    r.default_opening = (plant::default_angle(b) - b.stops.closed_angle) / travel;
    return r;
}

Controller controller_of(const plant::BodyMechanics& b) { return {{}, b, learned_of(b), milliseconds(1), 0.0003, 12}; }

/// Readings with the foot at `pedal` and the blade at rest.
Input input(const Controller& c, double pedal) {
    Input in;
    in.supply = 13.5;
    for (std::size_t k = 0; k < 2; ++k) {
        in.pedal[k] = c.learned()->pedal[k].expected(pedal);
        in.throttle[k] = c.learned()->throttle[k].expected(0.07);
    }
    return in;
}

std::vector<rig::Sample> driven(const std::function<void(double, Input&)>& spoil, double foot = 0.5) {
    rig::Setup setup;
    setup.foot = [=](double t) { return t < 0.5 ? 0.0 : foot; };
    setup.spoil = spoil;
    Controller c = controller_of(setup.body);
    return rig::run(
        setup, [&](const Input& in) { return c.step(in); }, 3.0);
}

TEST(ControllerOrders, ALimitOfTheDemandLeavesIdle) {
    Controller c = controller_of({});
    Input in = input(c, 0.8);
    const double free = c.step(in).demand;
    in.demand_limit = 0.3;
    EXPECT_EQ(c.step(in).demand, 0.3);
    in.demand_limit = 0.0;
    EXPECT_EQ(c.step(in).demand, ControllerParameters{}.pedal_map.opening.front());
    in.demand_limit = 1.0;
    EXPECT_EQ(c.step(in).demand, free);
}

TEST(ControllerOrders, ASlopeHoldsTheRiseAndNotTheFall) {
    Controller c = controller_of({});
    Input rest = input(c, 0.0), full = input(c, 1.0);
    rest.demand_slope = full.demand_slope = 0.5;
    const double before = c.step(rest).demand;
    for (int k = 1; k <= 1000; ++k) ASSERT_NEAR(c.step(full).demand, before + 0.0005 * k, 1e-12);
    EXPECT_EQ(c.step(rest).demand, before);
}

TEST(ControllerOrders, TheDemandIsNeverBelowWhatIdlingAsks) {
    Controller c = controller_of({});
    Input in = input(c, 0.0);
    in.idle_opening = 0.08;
    EXPECT_EQ(c.step(in).demand, 0.08);
    in.demand_limit = 0.0;
    EXPECT_EQ(c.step(in).demand, 0.08);
    EXPECT_GT(c.step(input(c, 0.9)).demand, 0.5);
}

TEST(ControllerOrders, OfThePedalsTracksTheLowestCounts) {
    Controller c = controller_of({});
    Input in = input(c, 0.6);
    in.pedal[1] = c.learned()->pedal[1].expected(0.595);  // within the slack
    EXPECT_NEAR(c.step(in).pedal, 0.6, 1e-9);
    in.lowest_track = true;
    EXPECT_NEAR(c.step(in).pedal, 0.595, 1e-9);
}

TEST(ControllerOrders, ATrackThatIsNotTrustedIsLeftOut) {
    Controller c = controller_of({});
    Input in = input(c, 0.6);
    in.pedal[0] = 1.0;
    in.pedal_trust = {false, true, true};
    EXPECT_NEAR(c.step(in).pedal, 0.6, 1e-9);
    in.pedal_trust = {false, false, true};  // there is no third track
    in.pedal[1] = 0.0;
    EXPECT_NEAR(c.step(in).pedal, 0.6, 1e-9) << "it stays where it was";
    in.pedal_trust = {true, false, true};
    EXPECT_GT(c.step(in).pedal, 1.0);
}

TEST(ControllerOrders, TheBladeGoesOnByTheOtherTrack) {
    const auto run = driven([](double t, Input& in) {
        if (t < 2.0) return;
        in.throttle[0] = 0.0;
        in.throttle_trust = {false, true, true};
    });
    for (std::size_t k = 1900; k < run.size(); ++k)
        ASSERT_NEAR(run[k].opening, run[1900].opening, 0.005) << run[k].time;
}

TEST(ControllerOrders, WithoutAnyTrackTheBladeStaysForAWhile) {
    const auto run = driven([](double t, Input& in) {
        if (t < 2.0 || t > 2.1) return;
        in.throttle = {};
        in.throttle_trust = {};
    });
    for (std::size_t k = 1900; k < run.size(); ++k) ASSERT_NEAR(run[k].opening, run[1900].opening, 0.02) << run[k].time;
}

TEST(LearnedTrack, TheLowestPositionInvertsTheCurve) {
    LearnedTrack knee;  // steep, then flat from 0.5 on
    for (std::size_t i = 0; i < curve_knots; ++i)
        knee.curve[i] = 0.1 + 1.6 * std::min(static_cast<double>(i) / (curve_knots - 1), 0.5);
    for (const double x : {0.0, 0.01, 0.2, 0.45}) EXPECT_NEAR(knee.lowest_position(knee.expected(x)), x, 1e-12);
    for (const double noise : {-0.003, 0.0, 0.003})
        EXPECT_NEAR(knee.lowest_position(0.9 + noise), 0.5, 0.003) << "where it saturates the lowest counts";
    const LearnedTrack falling = straight_track(0.9, 0.1);
    for (const double x : {-0.05, 0.0, 0.3, 1.0, 1.05})
        EXPECT_NEAR(falling.lowest_position(falling.expected(x)), x, 1e-12);
}

}  // namespace
