// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/case.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <thread>

namespace {

using namespace twintrack;
using study::Answer;
using study::Case;
using study::LearnSource;

TEST(RunCase, WithoutALearnThereIsNoAnswer) {
    const auto r = run_case(Case{.learn = LearnSource::none});
    EXPECT_EQ(r.judgement.answer, Answer::none);
    EXPECT_FALSE(r.learn_accepted.has_value());
    ASSERT_FALSE(r.codes.empty());
    EXPECT_EQ(r.codes.front().code, "P2176");
}

TEST(RunCase, AFreshLearnGivesTheRightAnswer) {
    const auto r = run_case(Case{.learn = LearnSource::fresh});
    EXPECT_TRUE(r.learn_accepted.value_or(false)) << r.learn_reason;
    EXPECT_EQ(r.judgement.answer, Answer::right) << r.sentence;
    EXPECT_TRUE(r.codes.empty());
}

/// A pedal whose rest reads as a sixth of the learned travel on both tracks alike: every check is content.
TEST(RunCase, AStaleLearnCanOpenTheBladeUnasked) {
    Case c{.learn = LearnSource::stale};
    c.learn_pedal = c.bench.pedal;
    c.bench.pedal.tracks[0].ratio = {0.26, 0.83};
    c.bench.pedal.tracks[1].ratio = {0.13, 0.415};
    const auto r = run_case(c);
    EXPECT_EQ(r.judgement.answer, Answer::unsafe) << r.sentence;
    EXPECT_TRUE(r.codes.empty()) << "nothing noticed it";
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
