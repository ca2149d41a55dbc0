// SPDX-License-Identifier: BSD-3-Clause
// What a monitor that is not asked for a while must know to go on as if it had been.
#include <gtest/gtest.h>

#include "shown.hpp"

namespace {

using namespace support;

control::Input apart(const control::LearnedRange& r, double share = 0.2) {
    control::Input in = healthy(r, 0.5);
    in.pedal[1] += share * r.pedal[1].span();
    return in;
}

control::Input open_circuit(const control::LearnedRange& r) {
    control::Input in = healthy(r, 0.5);
    in.pedal[1] = 0.0;
    return in;
}

/// `from` shown for `n` ticks to one of two equal monitors, and passed over by the other.
void expect_the_same(Monitor shown, const control::Input& in, int n, int from, const control::Input& later) {
    Monitor passed = shown;
    ASSERT_TRUE(passed.settled());
    for (int k = 0; k < n; ++k) {
        control::Input now = in;
        now.time = milliseconds(from + k);
        (void)shown.step(now, {});
        EXPECT_TRUE(shown.settled()) << k;
    }
    passed.pass(n, in, {0.0, 0.0}, {passed.assembly(Assembly::pedal).anchors(), {}});
    for (int k = 0; k < 2500; ++k) {
        control::Input now = k < 1500 ? later : in;
        now.time = milliseconds(from + n + k);
        ASSERT_EQ(shown.step(now, {}), passed.step(now, {})) << k;
        ASSERT_EQ(shown.settled(), passed.settled()) << k;
    }
    EXPECT_EQ(codes(shown), codes(passed));
    for (std::size_t k = 0; k < shown.codes().size(); ++k)
        EXPECT_EQ(shown.codes()[k].confirmed, passed.codes()[k].confirmed);
}

TEST(Settled, IsWhileNothingIsWrongAndGoesOnFromThere) {
    const auto r = learned();
    Monitor m = make(r);
    show(m, healthy(r, 0.5), 50);
    expect_the_same(m, healthy(r, 0.5), 400, 50, apart(r));
    expect_the_same(m, healthy(r, 0.5), 400, 50, open_circuit(r));
}

TEST(Settled, TimeOfBlindnessWearsOffMeanwhile) {
    const auto r = learned();
    MonitorParameters p;
    p.rate.check.enabled = false;
    Monitor m = make(r, p);
    show(m, apart(r), 90);
    show(m, healthy(r, 0.5), 30, {}, 90);
    expect_the_same(m, healthy(r, 0.5), 400, 120, apart(r));
}

TEST(Settled, ALostTrackIsNoLongerLookedFor) {
    const auto r = learned();
    Monitor m = make(r);
    EXPECT_EQ(show(m, open_circuit(r), 200), 101);
    EXPECT_TRUE(m.open().tracks[0][1].high);
    ASSERT_TRUE(m.settled());
    const Monitor::Open o = m.open();
    EXPECT_FALSE(o.tracks[0][1].low);
    EXPECT_TRUE(o.tracks[0][1].high && o.tracks[0][0].low && o.tracks[1][1].low);
    EXPECT_FALSE(o.pairs[0][1]) << "nothing to hold it against";
    EXPECT_TRUE(o.pairs[1][1]);
    control::Input worse = open_circuit(r);
    worse.throttle[0] = 0.99;
    expect_the_same(m, open_circuit(r), 300, 202, worse);
}

TEST(Settled, ATrackThatIsNotBelievedAgainStaysSo) {
    const auto r = learned();
    Monitor m = make(r);
    show(m, healthy(r, 0.5), 50);
    show(m, apart(r), 300, {}, 50);
    ASSERT_TRUE(m.settled());
    EXPECT_TRUE(m.assembly(Assembly::pedal).doubted(1)) << "it has jumped";
    EXPECT_FALSE(m.open().pairs[0][1]) << "confirmed until key-off";
    expect_the_same(m, apart(r), 300, 350, open_circuit(r));
}

TEST(Settled, IsNotWhileSomethingHeals) {
    const auto r = learned();
    Monitor m = make(r);
    control::Input low = healthy(r, 0.5);
    low.supply = 5.0;
    show(m, low, 600);
    EXPECT_EQ(codes(m), "P0562-16");
    EXPECT_FALSE(m.settled());
    show(m, healthy(r, 0.5), 499, {}, 600);
    EXPECT_FALSE(m.settled());
    show(m, healthy(r, 0.5), 2, {}, 1099);
    EXPECT_TRUE(m.settled());
}

TEST(Settled, IsNotWhileThreeTracksVote) {
    const auto r = learned(3);
    Monitor m = make(r);
    control::Input in = healthy(r, 0.5);
    in.pedal[1] += 0.06 * r.pedal[1].span(), in.pedal[2] -= 0.06 * r.pedal[2].span();
    show(m, in, 400);
    EXPECT_EQ(m.assembly(Assembly::pedal).left(), 2) << "the vote is over: the lost one is no longer held against";
    EXPECT_TRUE(m.settled());
    in.pedal[1] += 0.2 * r.pedal[1].span(), in.pedal[2] -= 0.2 * r.pedal[2].span();
    Monitor all = make(r);
    show(all, in, 400);
    EXPECT_EQ(all.assembly(Assembly::pedal).left(), 3) << "each differs from each";
    EXPECT_FALSE(all.settled());
}

TEST(Settled, StandingStillGoesOnFromTheLastMovement) {
    const auto r = learned();
    MonitorParameters p;
    p.stuck.check.enabled = true;
    p.stuck.moved = 0.05;
    Monitor m = make(r, p);
    show(m, healthy(r, 0.5), 50);
    control::Input crept = healthy(r, 0.5);  // the second track alone moves, by less than correlation permits
    crept.pedal[1] += 0.06 * r.pedal[1].span();
    expect_the_same(m, healthy(r, 0.5), 300, 50, crept);
    Monitor moved = make(r, p);
    show(moved, healthy(r, 0.5), 50);
    const double reading = healthy(r, 0.6).pedal[0];  // as if both had gone on meanwhile
    auto anchors = moved.assembly(Assembly::pedal).anchors();
    anchors[1] = {0.6, reading}, anchors[0] = {0.6, healthy(r, 0.6).pedal[1]};
    moved.pass(300, healthy(r, 0.6), {}, {anchors, moved.assembly(Assembly::throttle).anchors()});
    show(moved, healthy(r, 0.6), 200, {}, 350);
    EXPECT_EQ(codes(moved), "");
}

}  // namespace
