// SPDX-License-Identifier: BSD-3-Clause
// All figures are this bench's own.
#include "twintrack/monitor/watcher.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

constexpr Time tick = milliseconds(1);
using Counts = std::array<std::int32_t, 2>;

WatcherEnds ends() {
    WatcherEnds e;
    e.pedal = {{{600, 3400}, {300, 1700}}};
    e.throttle = {{{500, 3700}, {3700, 500}}};
    for (int i = 0; i <= 16; ++i) e.allowed.push_back(1000 * i / 16);
    return e;
}

Counts at(const std::array<WatcherEnds::Track, 2>& tracks, double share) {
    Counts n{};
    for (std::size_t k = 0; k < 2; ++k)
        n[k] = tracks[k].closed + static_cast<std::int32_t>(share * (tracks[k].open - tracks[k].closed));
    return n;
}

Watcher make(WatcherParameters p = {}) { return {p, ends(), tick}; }

/// Ticks until it trips; −1: never.
int trips(Watcher& w, double pedal, double blade, double current = 1.0, int most = 5000) {
    const auto e = ends();
    for (int n = 0; n < most; ++n)
        if (!w.step(at(e.pedal, pedal), at(e.throttle, blade), current, true)) return n;
    return -1;
}

TEST(Watcher, IsContentWhileTheBladeFollowsTheFoot) {
    Watcher w = make();
    for (int k = 0; k <= 100; ++k) EXPECT_EQ(trips(w, 0.01 * k, 0.01 * k, 1.0, 50), -1);
    EXPECT_EQ(trips(w, 1.0, 0.0), -1) << "less open than asked is none of its business";
}

TEST(Watcher, ABladeThatNobodyAskedFor) {
    Watcher w = make();
    EXPECT_EQ(trips(w, 0.0, 0.29), -1) << "idle and margin";
    EXPECT_EQ(trips(w, 0.0, 0.31), 201) << "longer than 200 ms";
    EXPECT_EQ(w.reason(), Watcher::Reason::opening);
    EXPECT_EQ(trips(w, 0.0, 0.0), 0) << "it stays tripped";
}

TEST(Watcher, TheBladeMayFollowTheFootDown) {
    Watcher w = make();
    EXPECT_EQ(trips(w, 0.9, 0.9, 1.0, 1000), -1);
    EXPECT_EQ(trips(w, 0.0, 0.9), 301 + 200) << "300 ms of lag, then its time";
}

TEST(Watcher, TheLowerPedalTrackAndTheHigherThrottleTrackCount) {
    const auto e = ends();
    Watcher w = make({.apart = 1.0});
    Counts pedal = at(e.pedal, 0.8), blade = at(e.throttle, 0.2);
    pedal[1] = at(e.pedal, 0.1)[1];
    blade[1] = at(e.throttle, 0.8)[1];
    int n = 0;
    while (n < 1000 && w.step(pedal, blade, 0.0, true)) ++n;
    EXPECT_EQ(n, 201);
}

TEST(Watcher, TracksApartAndTooMuchCurrent) {
    const auto e = ends();
    Watcher w = make();
    Counts blade = at(e.throttle, 0.3);
    blade[1] = at(e.throttle, 0.1)[1];
    for (int n = 0; n <= 200; ++n) ASSERT_TRUE(w.step(at(e.pedal, 0.5), blade, 0.0, true)) << n;
    EXPECT_FALSE(w.step(at(e.pedal, 0.5), blade, 0.0, true));
    EXPECT_EQ(w.reason(), Watcher::Reason::tracks);
    Watcher current = make();
    EXPECT_EQ(trips(current, 0.5, 0.5, -11.5), 201);
    EXPECT_EQ(current.reason(), Watcher::Reason::current);
}

TEST(Watcher, SaysWhenTheMotorRunsOnWithoutItsPower) {
    const auto e = ends();
    Watcher w = make();
    for (int n = 0; n <= 200; ++n) w.step(at(e.pedal, 0.5), at(e.throttle, 0.5), 1.0, false);
    EXPECT_FALSE(w.runs_on());
    w.step(at(e.pedal, 0.5), at(e.throttle, 0.5), 1.0, false);
    EXPECT_TRUE(w.runs_on());
    EXPECT_FALSE(w.tripped());
}

TEST(Watcher, RefusesWhatItCannotWorkWith) {
    support::expect_every_field_guarded<WatcherParameters>();
    WatcherEnds flat = ends(), short_map = ends();
    flat.pedal[1] = {700, 700};
    short_map.allowed.pop_back();
    EXPECT_THROW(Watcher({}, flat, tick), InvalidParameter);
    EXPECT_THROW(Watcher({}, short_map, tick), InvalidParameter);
    EXPECT_THROW(Watcher({}, ends(), Time{0}), InvalidParameter);
}

}  // namespace
