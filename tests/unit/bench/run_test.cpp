// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace {

using namespace twintrack;
using namespace twintrack::bench;

TEST(Run, TicksAtBothEnds) {
    const auto r = run(BenchParameters{}, Stroke::rest(0.5));
    EXPECT_EQ(r.record.size(), 501u);
    EXPECT_DOUBLE_EQ(r.record.time().front(), 0.0);
    EXPECT_DOUBLE_EQ(r.record.time().back(), 0.5);
    EXPECT_TRUE(r.outcome.ok());
    EXPECT_EQ(r.outcome.when, milliseconds(500));
}

TEST(Run, RecordsAtItsOwnPeriod) {
    BenchParameters p;
    p.record_period = 0.01;
    EXPECT_EQ(run(p, Stroke::rest(0.5)).record.size(), 51u);
}

TEST(Run, RefusesALengthThatIsNotOne) {
    EXPECT_THROW((void)run(BenchParameters{}, Stroke::rest(1.0), std::numeric_limits<double>::quiet_NaN()),
                 InvalidParameter);
    EXPECT_THROW((void)run(BenchParameters{}, Stroke::rest(1.0), -1.0), InvalidParameter);
}

TEST(Run, AnInterruptionKeepsWhatWasRecorded) {
    int questions = 0;
    const auto r = run(BenchParameters{}, Stroke::rest(10.0), {}, {}, [&] { return ++questions == 3; });
    EXPECT_EQ(r.outcome.status, Status::interrupted);
    EXPECT_GT(r.record.size(), 100u);
    EXPECT_LT(r.record.size(), 5000u);
}

TEST(Learn, TheDefaultPairLearnsAndFollows) {
    const auto l = learn(BenchParameters{});
    ASSERT_TRUE(l.result.accepted) << l.result.reason;
    ASSERT_TRUE(l.result.range.has_value());
    EXPECT_EQ(l.state.size(), l.record.size());
    const auto r =
        run(BenchParameters{}, Stroke({0.0, 1.0, 1.5, 3.0}, {0.0, 0.0, 0.5, 0.5}), {}, {.learned = l.result.range});
    EXPECT_TRUE(r.codes.empty());
    EXPECT_NEAR(r.record.column("blade.opening").back(), r.record.column("asked").back(), 0.005);
}

/// Trade facts (common practice, no source): the blade moves by itself during the learn, over its whole travel.
TEST(Learn, TheBladeMovesByItself) {
    const auto l = learn(BenchParameters{});
    const auto blade = l.record.column("blade.opening"), pedal = l.record.column("pedal.travel");
    double lowest = 1.0, highest = 0.0;
    for (std::size_t k = 0; k < blade.size() && pedal[k] == 0.0; ++k) {
        lowest = std::min(lowest, blade[k]);
        highest = std::max(highest, blade[k]);
    }
    EXPECT_LT(lowest, 0.005);
    EXPECT_GT(highest, 0.995);
}

TEST(Learn, AFootThatStopsEarlyIsToldSo) {
    const auto l = learn(BenchParameters{}, Stroke::rest(9.0));
    EXPECT_FALSE(l.result.accepted);
    EXPECT_FALSE(l.result.range.has_value());
    EXPECT_EQ(l.result.refusal, control::Refusal::not_pressed);
    EXPECT_NE(l.result.reason.find("not pressed fully"), std::string::npos) << l.result.reason;
}

TEST(Run, SameCaseSameBits) {
    const auto range = learn(BenchParameters{}).result.range;
    const auto a = run(BenchParameters{}, Stroke::rest_half_full_rest(), 4.0, {.learned = range});
    const auto b = run(BenchParameters{}, Stroke::rest_half_full_rest(), 4.0, {.learned = range});
    BenchParameters other;
    other.seed = 2;
    const auto c = run(other, Stroke::rest_half_full_rest(), 4.0, {.learned = range});
    const auto x = a.record.column("blade.angle"), y = b.record.column("blade.angle"),
               z = c.record.column("blade.angle");
    EXPECT_TRUE(std::equal(x.begin(), x.end(), y.begin(), y.end()));
    EXPECT_FALSE(std::equal(x.begin(), x.end(), z.begin(), z.end())) << "another seed is another run";
}

}  // namespace
