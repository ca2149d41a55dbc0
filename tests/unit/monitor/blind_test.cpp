// SPDX-License-Identifier: BSD-3-Clause
// Blind driving: no single check confirms, and yet nothing of an assembly was to be believed for too long.
#include <gtest/gtest.h>

#include "shown.hpp"

namespace {

using namespace support;

/// Without the fallback's own times a blind tick is a bad tick.
MonitorParameters plain() {
    MonitorParameters p;
    p.fallback_time = 0.0;
    p.rate.check.enabled = false;
    return p;
}

control::Input apart(const control::LearnedRange& r) {
    control::Input in = healthy(r, 0.5);
    in.pedal[1] += 0.101 * r.pedal[1].span();
    return in;
}

/// Rounds of `bad` ms of `in` and `good` ms of sight; returns when the blindness was confirmed [ms], −1 for never.
int flicker(Monitor& m, const control::LearnedRange& r, const control::Input& in, int bad, int good, int rounds) {
    for (int n = 0; n < rounds; ++n) {
        show(m, in, bad, {}, n * (bad + good));
        show(m, healthy(r, 0.5), good, {}, n * (bad + good) + bad);
    }
    return m.codes().empty() ? -1 : static_cast<int>(m.codes().front().confirmed / tick);
}

// Budget 110 ms, worn off by 2 s of sight: a good tick takes back 0.055 of a bad one. 90 bad ticks, one good one, and
// the 23rd of the next run is the first that makes more than 110 ms of it: tick 90 + 1 + 22.
TEST(Blind, TimesThatHealOneByOneAddUp) {
    const auto r = learned();
    Monitor m = make(r, plain());
    EXPECT_EQ(flicker(m, r, apart(r), 90, 1, 2), 113);
    EXPECT_EQ(codes(m), "P2120-29");
    EXPECT_EQ(m.reaction(), Reaction::idle);
    MonitorParameters without = plain();
    without.blind.enabled = false;
    Monitor w = make(r, without);
    EXPECT_EQ(flicker(w, r, apart(r), 90, 1, 100), -1);
}

TEST(Blind, GoodSightWearsItOff) {
    const auto r = learned();
    Monitor seldom = make(r, plain());
    EXPECT_EQ(flicker(seldom, r, apart(r), 90, 1700, 50), -1);
    Monitor often = make(r, plain());
    EXPECT_EQ(flicker(often, r, apart(r), 90, 300, 50), 90 + 300 + 38);
    show(often, healthy(r, 0.5), 60000);
    EXPECT_EQ(often.reaction(), Reaction::idle) << "latched";
}

TEST(Blind, ABladeThatIsNotSeenIsNotDriven) {
    const auto r = learned();
    control::Input in = healthy(r, 0.5);
    in.throttle[0] = in.throttle[1] = 0.0;
    Monitor m = make(r);
    EXPECT_GT(flicker(m, r, in, 40, 60, 20), 0);
    EXPECT_EQ(codes(m), "P0120-29");
    EXPECT_EQ(m.reaction(), Reaction::motor_off);
}

TEST(Blind, OneTrackOrTwoThatAgreeAreSight) {
    const auto two = learned(), three = learned(3);
    control::Input one = healthy(two, 0.5), off = healthy(three, 0.5), all = off;
    one.pedal[0] = 0.0;
    off.pedal[0] += 0.2 * three.pedal[0].span();
    all.pedal[1] += 0.2 * three.pedal[1].span();
    all.pedal[2] -= 0.2 * three.pedal[2].span();
    Monitor a = make(two, plain()), b = make(three, plain()), c = make(three, plain());
    EXPECT_EQ(flicker(a, two, one, 90, 1, 20), -1);
    EXPECT_EQ(flicker(b, three, off, 90, 1, 20), -1);
    EXPECT_EQ(flicker(c, three, all, 90, 1, 20), 113) << "no two of three";
}

// What has a name of its own is called by that.
TEST(Blind, SaysNothingOfWhatIsConfirmed) {
    const auto r = learned();
    control::Input gone = healthy(r, 0.5);
    gone.pedal[0] = gone.pedal[1] = 0.0;
    for (const MonitorParameters& p : {MonitorParameters{}, strict(), graded()}) {
        Monitor lost = make(r, p), differ = make(r, p);
        show(lost, gone, 5000);
        EXPECT_EQ(codes(lost).substr(0, 17), "P2122-16 P2127-16");
        EXPECT_EQ(codes(lost).find("P2120"), std::string::npos) << codes(lost);
        for (int n = 0; n < 5000; ++n) show(differ, apart(r), 1, {}, n);
        EXPECT_EQ(codes(differ).find("P2120"), std::string::npos) << codes(differ);
        EXPECT_EQ(codes(differ).substr(0, 8), "P2138-62");
    }
}

TEST(Blind, BudgetsOfTheSetUps) {
    const auto confirmed = [](MonitorParameters p) {
        p.fallback_time = 0.0;
        p.rate.check.enabled = p.default_position.check.enabled = false;
        p.correlation.confirm_time = 1.0;
        const auto r = learned();
        Monitor m = make(r, p);
        return flicker(m, r, apart(r), 900, 1, 1);
    };
    EXPECT_EQ(confirmed({}), 111);
    EXPECT_EQ(confirmed(strict()), 61);
    EXPECT_EQ(confirmed(careless()), -1);
    EXPECT_EQ(confirmed(unwatched()), -1);
}

}  // namespace
