// SPDX-License-Identifier: BSD-3-Clause
// Tracks that flicker: each check of a track heals before it confirms, and yet nothing of the assembly is to be
// believed for half the time. Numbers of openings: regression only.
#include <gtest/gtest.h>

#include <algorithm>

#include "support/flicker.hpp"
#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"
#include "twintrack/plant/throttle_body.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *learn(BenchParameters{}).result.range;
    return range;
}

/// The foot presses to 60 % at 1 s and lets go at 2.4 s; the flickering begins at 1.5 s.
bench::Run driven(const char* assembly, int times, bool watched) {
    BenchParameters p;
    p.monitor.blind.enabled = watched;
    const Stroke foot({0.0, 1.0, 1.2, 2.4, 2.5, 4.0}, {0.0, 0.0, 0.6, 0.6, 0.0, 0.0});
    return run(
        p, foot, {},
        {.learned = learned(), .faults = fault::Schedule(support::flicker(assembly, milliseconds(1500), times))});
}

double opening_at(const bench::Run& r, int ms) {
    return r.record.column("blade.opening")[static_cast<std::size_t>(ms)];
}

TEST(BlindDriving, OfTheBladeEndsWithoutPower) {
    const bench::Run free = driven("throttle", 10, false), watched = driven("throttle", 10, true);
    EXPECT_TRUE(free.codes.empty()) << free.codes.front().text();
    ASSERT_EQ(watched.codes.size(), 1U);
    EXPECT_EQ(watched.codes[0].text(), "P0120-29");
    EXPECT_NEAR(seconds(watched.codes[0].confirmed), 1.716, 0.002) << "16 ms into the second time";
    EXPECT_GT(opening_at(free, 2300), 0.5);
    EXPECT_NEAR(opening_at(watched, 2300), learned().default_opening, 0.02);
    EXPECT_EQ(watched.record.column("reaction").back(), 3.0);
}

TEST(BlindDriving, OfThePedalEndsAtIdle) {
    const bench::Run free = driven("pedal", 10, false), watched = driven("pedal", 10, true);
    EXPECT_TRUE(free.codes.empty()) << free.codes.front().text();
    ASSERT_EQ(watched.codes.size(), 1U);
    EXPECT_EQ(watched.codes[0].text(), "P2120-29");
    EXPECT_LT(opening_at(watched, 2300), 0.05) << "the foot is at 60 %";
    EXPECT_EQ(watched.record.column("reaction").back(), 2.0);
}

TEST(BlindDriving, OnceIsForgiven) {
    for (const char* assembly : {"pedal", "throttle"}) {
        const bench::Run r = driven(assembly, 1, true);
        EXPECT_TRUE(r.codes.empty()) << assembly;
        EXPECT_GT(opening_at(r, 2300), 0.55) << assembly;
        EXPECT_EQ(r.record.column("reaction").back(), 0.0);
    }
}

}  // namespace
