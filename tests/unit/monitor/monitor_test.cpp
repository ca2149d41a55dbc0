// SPDX-License-Identifier: BSD-3-Clause
// The limits are those of the student-competition rules 2024 (T.4.2.4–5, IC.4.4.3–4, IC.4.7.2; seen in the published
// text): 10 % between tracks for more than 100 ms, 10 % between target and position for more than 1 s.
#include <gtest/gtest.h>

#include <cmath>

#include "shown.hpp"
#include "twintrack/core/error.hpp"

namespace {

using namespace support;

TEST(Monitor, IsContentWithHealthyTracks) {
    for (const std::size_t tracks : {2U, 3U}) {
        const auto r = learned(tracks);
        Monitor m = make(r);
        for (int k = 0; k <= 20; ++k) EXPECT_EQ(show(m, healthy(r, 0.05 * k, 0.05 * k), 300), -1);
        EXPECT_EQ(codes(m), "");
        EXPECT_EQ(m.reaction(), Reaction::none);
    }
}

// What came before a restart leaves no trace: codes, counts half way, jumps, a reaction in force.
TEST(Monitor, BegunAgainIsANewOne) {
    const auto r = learned(3);
    control::Input apart = healthy(r, 0.5), wild = healthy(r);
    apart.pedal[1] += 0.2 * r.pedal[1].span();
    wild.throttle[0] = 0.99;
    control::Command driven{.mode = plant::BridgeMode::drive, .duty = 0.9, .set_point = 0.9, .opening = 0.1};
    Monitor fresh = make(r), used = make(r);
    EXPECT_GE(show(used, wild, 500, driven), 0);
    (void)show(used, apart, 60, driven, 500);
    EXPECT_NE(codes(used), "");
    used.restart();
    EXPECT_EQ(codes(used), "");
    EXPECT_TRUE(used.settled());
    EXPECT_EQ(used.reaction(), Reaction::none);
    for (const FaultEntry& e : used.history().entries()) EXPECT_TRUE(e.state == CodeState::absent && e.count == 0);
    for (int k = 0; k < 1500; ++k) {
        control::Input in = k < 700 ? healthy(r, 0.5) : k < 1100 ? apart : wild;
        in.time = milliseconds(k);
        EXPECT_EQ(used.step(in, driven), fresh.step(in, driven)) << k;
    }
    EXPECT_EQ(codes(used), codes(fresh));
    EXPECT_NE(codes(used), "");
}

TEST(Monitor, PedalTracksTenPercentApartForMoreThanATenthOfASecond) {
    const auto r = learned();
    const auto apart = [&](double share) {
        control::Input in = healthy(r, 0.5);
        in.pedal[1] += share * r.pedal[1].span();
        return in;
    };
    for (const double sign : {1.0, -1.0}) {
        Monitor trips = make(r);
        EXPECT_EQ(show(trips, apart(sign * 0.101), 102), 101);
        EXPECT_EQ(codes(trips), "P2138-62");
        EXPECT_EQ(trips.codes().front().confirmed, milliseconds(101));
        Monitor small = make(r);
        EXPECT_EQ(show(small, apart(sign * 0.099), 100000), -1);
        Monitor exact = make(r);
        EXPECT_EQ(show(exact, apart(sign * 0.101), 101), -1);  // has lasted exactly 100 ms
        Monitor brief = make(r);
        for (int k = 0; k < 20; ++k) {
            EXPECT_EQ(show(brief, apart(sign * 0.101), 100), -1);  // 99 ms
            EXPECT_EQ(show(brief, healthy(r, 0.5), 1), -1);
        }
    }
}

TEST(Monitor, ThrottleTracksAreWatchedTheSameWay) {
    const auto r = learned();
    control::Input in = healthy(r);
    in.throttle[1] += 0.101 * 0.8;
    Monitor m = make(r);
    EXPECT_EQ(show(m, in, 200), 101);
    EXPECT_EQ(codes(m), "P2135-62");
}

// T.4.2.6, IC.4.4.5: of three tracks two that agree within 10 % may go on.
TEST(Monitor, OfThreeTracksTwoThatAgreeGoOn) {
    const auto r = learned(3);
    control::Input third = healthy(r, 0.5);
    third.pedal[2] += 0.101 * r.pedal[2].span();
    Monitor with_third = make(r);
    EXPECT_EQ(show(with_third, third, 200), -1);
    EXPECT_EQ(codes(with_third), "P2139-62 P2140-62 P2131-62");
    EXPECT_EQ(with_third.codes().back().confirmed, milliseconds(101));
    EXPECT_EQ(with_third.reaction(), Reaction::limited);
    with_third.order(third);
    EXPECT_EQ(third.pedal_trust, (control::Trust{true, true, false}));
    control::Input two = third;  // and then the two differ
    two.pedal[1] += 0.2 * r.pedal[1].span();
    EXPECT_EQ(show(with_third, two, 200, {}, 200), 301);
    control::Input opposite = healthy(r, 0.5);  // each within 10 % of the first, 12 % from each other
    opposite.pedal[1] += 0.05 * r.pedal[1].span();
    opposite.pedal[2] -= 0.07 * r.pedal[2].span();
    Monitor pair = make(r);
    EXPECT_EQ(show(pair, opposite, 200), -1);
    EXPECT_EQ(codes(pair), "P2140-62 P2131-62") << "the one further away is left out";
    control::Input all = healthy(r, 0.5);
    all.pedal[1] += 0.11 * r.pedal[1].span();
    all.pedal[2] -= 0.11 * r.pedal[2].span();
    Monitor none = make(r);
    EXPECT_EQ(show(none, all, 200), 101);
}

TEST(Monitor, OfThreeTracksOneOutsideItsBandIsLeftOut) {
    const auto r = learned(3);
    control::Input in = healthy(r, 0.5);
    in.pedal[0] = 0.0;
    Monitor m = make(r);
    EXPECT_EQ(show(m, in, 2000), -1);
    EXPECT_EQ(m.reaction(), Reaction::limited);
    in.pedal[1] = 0.0;
    EXPECT_EQ(show(m, in, 200), 101);
}

TEST(Monitor, ReadingsOutsideTheElectricalBand) {
    const auto r = learned();
    MonitorParameters range_only;
    range_only.correlation.enabled = false;
    const auto first = [&](double value, bool pedal, std::size_t k) {
        control::Input in = healthy(r);
        (pedal ? in.pedal : in.throttle)[k] = value;
        Monitor m = make(r, range_only);
        const int when = show(m, in, 200);
        return std::to_string(when) + " " + codes(m);
    };
    EXPECT_EQ(first(0.039, true, 0), "101 P2122-16");
    EXPECT_EQ(first(0.961, true, 0), "101 P2123-17");
    EXPECT_EQ(first(0.0, true, 1), "101 P2127-16");
    EXPECT_EQ(first(1.0, true, 1), "101 P2128-17");
    EXPECT_EQ(first(0.0, false, 0), "101 P0122-16");
    EXPECT_EQ(first(1.0, false, 1), "101 P0223-17");
    EXPECT_EQ(first(0.04, true, 0), "-1 ");
    EXPECT_EQ(first(0.96, true, 0), "-1 ");
}

TEST(Monitor, BladeAwayFromItsSetPointWhileDriving) {
    const auto r = learned();
    const control::Command away{.mode = plant::BridgeMode::drive, .set_point = 0.50, .opening = 0.399};
    Monitor m = make(r);
    EXPECT_EQ(show(m, healthy(r), 2000, away), 1001);
    EXPECT_EQ(codes(m), "P2101-77");
    control::Command near = away;
    near.opening = 0.401;
    Monitor small = make(r);
    EXPECT_EQ(show(small, healthy(r), 5000, near), -1);
    control::Command off = away;
    off.mode = plant::BridgeMode::high_impedance;
    Monitor unpowered = make(r);
    EXPECT_EQ(show(unpowered, healthy(r), 5000, off), -1);
}

TEST(Monitor, StaysOffUntilTheKeyIsTurned) {
    const auto r = learned();
    control::Input bad = healthy(r);
    bad.pedal[0] = 0.0;
    Monitor m = make(r);
    EXPECT_EQ(show(m, bad, 200), 101);
    EXPECT_EQ(show(m, healthy(r), 1, {}, 100000), 100000);
    EXPECT_EQ(m.reaction(), Reaction::motor_off);
}

TEST(Monitor, WithoutLatchItHealsAndKeepsTheCodeOnce) {
    const auto r = learned();
    MonitorParameters p;
    p.range.latch = false;
    p.correlation.enabled = false;
    Monitor m = make(r, p);
    control::Input bad = healthy(r);
    bad.pedal[0] = 0.0;
    for (int round = 0; round < 3; ++round) {
        EXPECT_GE(show(m, bad, 200), 0);
        for (int n = 0; n < 600; ++n) m.step(healthy(r), {});
        EXPECT_EQ(m.reaction(), Reaction::none);
    }
    EXPECT_EQ(codes(m), "P2122-16");
}

TEST(Monitor, NotLearnedKeepsTheMotorOffAtOnce) {
    Monitor m({}, std::nullopt, 2, 3, tick);
    control::Input in;
    in.supply = 13.5;
    in.pedal = {0.5, 0.5, 0.0};
    in.throttle = {0.5, 0.5, 0.5};
    EXPECT_EQ(show(m, in, 1), 0);
    EXPECT_EQ(codes(m), "P2176-54");
    EXPECT_EQ(m.codes().front().confirmed, Time{0});
    for (int n = 0; n < 1000; ++n) EXPECT_EQ(m.step(in, {}), Reaction::motor_off);
    EXPECT_EQ(codes(m), "P2176-54");  // two pedal tracks, three of the throttle: nothing out of range
}

TEST(Monitor, MissesATrackThatWasLearned) {
    const auto r = learned(3);
    control::Input two = healthy(r);
    two.pedal[2] = 0.0;  // a pedal with two tracks plugged in
    Monitor m({}, r, 2, 2, tick);
    EXPECT_EQ(show(m, two, 200), -1);
    EXPECT_EQ(codes(m), "P2132-16");
    EXPECT_EQ(m.reaction(), Reaction::limited) << "the two that are left agree (T.4.2.6)";
}

TEST(Monitor, SaysWhatIsWrongWithItsParameters) {
    const auto r = learned();
    EXPECT_THROW(make(r, {.band_low = -0.1}), InvalidParameter);
    EXPECT_THROW(make(r, {.correlation_limit = std::nan("")}), InvalidParameter);
    EXPECT_THROW(make(r, {.range = {.confirm_time = INFINITY}}), InvalidParameter);
    EXPECT_THROW(Monitor({}, std::nullopt, 1, 2, tick), InvalidParameter);
    EXPECT_THROW(Monitor({}, std::nullopt, 2, 4, tick), InvalidParameter);
    EXPECT_THROW(Monitor({}, r, 2, 2, Time{0}), InvalidParameter);
}

}  // namespace
