// SPDX-License-Identifier: BSD-3-Clause
#include <gtest/gtest.h>

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
