// SPDX-License-Identifier: BSD-3-Clause
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "twintrack/fault/wiring_faults.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::fault;

Fault loose() {
    return {.where = "pedal signal 1",
            .what = "open",
            .from = Time{500},
            .to = Time{100500},
            .every = Time{1000},
            .lasting = Time{100}};
}

TEST(Intermittence, IsThereForItsShareOfEachPeriod) {
    const Intermittence times(loose(), 1, 2, 3);
    for (int period = 0; period < 100; ++period) {
        int there = 0;
        for (int us = 0; us < 1000; ++us) there += times.there(Time{500 + 1000 * period + us});
        EXPECT_EQ(there, 100) << period;
    }
    EXPECT_FALSE(times.there(Time{499}));
    EXPECT_FALSE(times.there(Time{100500}));
}

TEST(Intermittence, BeginsAtEveryPartOfThePeriodAlike) {
    Fault f = loose();
    f.to.reset();
    const Intermittence times(f, 1, 2, 3);
    int there = 0;
    for (int k = 0; k < 20000; ++k) there += times.there(Time{1000 * k + 1000});
    EXPECT_NEAR(there / 20000.0, 0.1, 0.02) << "looked at once a period it is there for its share";
}

/// No phase is special (analytic: stationary): sampled once a period at any phase, it is there for its share of the
/// samples. 400 samples a phase, so a phase by itself scatters; the mean over all of them is within 1 %.
TEST(Intermittence, NoPhaseOfTheSamplingIsSpecial) {
    for (const int lasting : {100, 500, 800}) {
        Fault f = loose();
        f.to.reset();
        f.lasting = Time{lasting};
        double mean = 0.0, worst = 0.0;
        for (int phase = 0; phase < 1000; ++phase) {
            const Intermittence times(f, 1, static_cast<std::uint32_t>(phase), 3);
            int there = 0;
            for (int k = 0; k < 400; ++k) there += times.there(Time{500 + phase + 1000 * k});
            mean += there / 400.0 / 1000.0;
            worst = std::max(worst, std::fabs(there / 400.0 - lasting / 1000.0));
        }
        EXPECT_NEAR(mean, lasting / 1000.0, 0.01 * lasting / 1000.0) << lasting;
        EXPECT_LT(worst, 0.25) << lasting << ": none is always or never there";
    }
}

TEST(Intermittence, IsAPureFunctionOfTime) {
    Fault f = loose();
    f.lasting = Time{800};
    const Intermittence forward(f, 4, 5, 6);
    std::vector<bool> seen;
    for (int us = 0; us < 60000; us += 7) seen.push_back(forward.there(Time{us}));
    for (int k = static_cast<int>(seen.size()) - 1; k >= 0; --k)
        ASSERT_EQ(Intermittence(f, 4, 5, 6).there(Time{7 * k}), seen[static_cast<std::size_t>(k)]) << k;
    for (int k = static_cast<int>(seen.size()) - 1; k >= 0; --k)
        ASSERT_EQ(forward.there(Time{7 * k}), seen[static_cast<std::size_t>(k)]) << k;
}

/// Across a border it lasts no longer than within a period.
TEST(Intermittence, NoneLastsLonger) {
    Fault f = loose();
    f.to = Time{2000500};
    const Intermittence times(f, 1, 2, 3);
    int lasts = 0, longest = 0, near = 0;
    for (int us = 500; us < 2000500; ++us) {
        lasts = times.there(Time{us}) ? lasts + 1 : 0;
        longest = std::max(longest, lasts);
        near += lasts == 100;
    }
    EXPECT_EQ(longest, 100);
    EXPECT_GT(near, 1500) << "most of them in one piece";
}

TEST(Intermittence, ChangesAreWhereItComesAndGoes) {
    const Intermittence times(loose(), 7, 0, 0);
    std::vector<Time> instants;
    times.changes(Time{0}, Time{50000}, instants);
    std::size_t next = 0;
    for (Time t{1}; t < Time{50000}; t += Time{1}) {
        if (times.there(t) == times.there(t - Time{1})) continue;
        ASSERT_LT(next, instants.size());
        EXPECT_EQ(instants[next++], t);
    }
    EXPECT_GE(next, 90u);
}

TEST(Intermittence, OtherCasesOpenAtOtherInstants) {
    std::vector<Time> a, b, again;
    Intermittence(loose(), 1, 2, 3).changes(Time{0}, Time{20000}, a);
    Intermittence(loose(), 1, 2, 3).changes(Time{0}, Time{20000}, again);
    Intermittence(loose(), 1, 3, 3).changes(Time{0}, Time{20000}, b);
    EXPECT_EQ(a, again);
    EXPECT_NE(a, b);
}

}  // namespace
