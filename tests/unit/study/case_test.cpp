// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/case.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <thread>

namespace {

using namespace twintrack;
using study::Case;
using study::LearnSource;
using study::Response;

TEST(RunCase, WithoutALearnThereIsNoAnswer) {
    const auto r = run_case(Case{.learn = LearnSource::none});
    EXPECT_EQ(r.judgement.response, Response::none);
    EXPECT_FALSE(r.learn_accepted.has_value());
    ASSERT_FALSE(r.codes.empty());
    EXPECT_EQ(r.codes.front().code, "P2176");
}

TEST(RunCase, AFreshLearnGivesTheRightAnswer) {
    const auto r = run_case(Case{.learn = LearnSource::fresh});
    EXPECT_TRUE(r.learn_accepted.value_or(false)) << r.learn_reason;
    EXPECT_EQ(r.judgement.response, Response::right) << r.sentence;
    EXPECT_TRUE(r.codes.empty());
}

/// A pedal whose rest reads as a sixth of the learned travel on both tracks alike: no two tracks disagree. All that
/// shows is that full travel lies beyond what was learned, which leaves a code and nothing more.
TEST(RunCase, AStaleLearnCanOpenTheBladeUnasked) {
    Case c{.learn = LearnSource::stale};
    c.learn_pedal = c.bench.pedal;
    c.bench.pedal.tracks[0].ratio = {0.26, 0.83};
    c.bench.pedal.tracks[1].ratio = {0.13, 0.415};
    const auto r = run_case(c);
    EXPECT_EQ(r.judgement.response, Response::uncommanded) << r.sentence;
    ASSERT_EQ(r.codes.size(), 2u);
    EXPECT_EQ(r.codes[0].text(), "P2115-28");
    EXPECT_EQ(r.codes[1].text(), "P2116-28");
}

/// Deposits of 0.1 rad on a travel of 1.48 rad (the default body's): the learned zero lies 6.8 % up. Gone afterwards,
/// the blade stops there; still there, they are a fault of the run beside the case's own.
TEST(RunCase, DisturbancesHappenInTheLearnAndStayOnlyWhenNobodyMendsThem) {
    Case c;
    c.disturbances = {{.name = "deposits", .amount = 0.1}, {.name = "pressed_once"}};
    c.bench.learn = control::learn_parameters(control::Strictness::careless);
    c.faults = {{.where = "supply", .what = "scale", .to = {}, .amount = 0.95}};
    EXPECT_EQ(faults_of_run(c).size(), 1u);
    const auto mended = run_case(c);
    EXPECT_TRUE(mended.learn_accepted.value()) << mended.learn_reason;
    EXPECT_NEAR(mended.judgement.error_rest, 0.1 / 1.48, 0.005) << mended.sentence;
    c.disturbances_stay = true;
    ASSERT_EQ(faults_of_run(c).size(), 2u);
    EXPECT_EQ(faults_of_run(c)[1].where, "body.closed_stop");
    c.bench.learn = {};
    EXPECT_EQ(run_learn(c).result.refusal, control::Refusal::pressed_once);
}

TEST(RunCase, ALearnCanBeShared) {
    const Case c;
    const auto learned = run_learn(c);
    const auto own = run_case(c, true), shared = run_case(c, learned.result, true);
    const auto a = own.record->column("blade.angle"), b = shared.record->column("blade.angle");
    EXPECT_TRUE(std::equal(a.begin(), a.end(), b.begin(), b.end()));
}

TEST(RunCase, SameBitsOnAnyThread) {
    const Case c;
    const auto alone = run_case(c, true);
    std::vector<study::CaseResult> together(3);
    std::vector<std::thread> threads;
    for (auto& r : together) threads.emplace_back([&] { r = run_case(c, true); });
    for (auto& t : threads) t.join();
    for (const auto& r : together)
        for (std::size_t k = 0; k < alone.record->signals().size(); ++k) {
            const auto a = alone.record->column(k), b = r.record->column(k);
            EXPECT_TRUE(std::equal(a.begin(), a.end(), b.begin(), b.end()));
        }
}

}  // namespace
