// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/batch.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace twintrack;
using study::Case;
using Learned = std::vector<std::optional<control::LearnResult>>;

/// A pair of two control periods, one with a fault that lanes do not take; nothing is learned.
std::vector<Case> cases() {
    std::vector<Case> all(4, Case{.learn = study::LearnSource::none});
    for (Case& c : all) c.bench.wiring.kind = bench::WiringKind::ideal;
    all[1].bench.control_period = 5e-4;
    all[2].bench.wiring.kind = bench::WiringKind::harness;
    all[2].faults = {{.where = "motor +",
                      .what = "open",
                      .from = milliseconds(3000),
                      .every = milliseconds(50),
                      .lasting = milliseconds(3)}};
    all[3].bench.supply = -5.0;
    return all;
}

TEST(Batch, RunsEachCaseWhereTheCaseDecides) {
    const std::vector<Case> all = cases();
    const auto ran = study::run_batch(all, Learned(all.size()));
    ASSERT_EQ(ran.size(), 4U);
    EXPECT_TRUE(ran[0].in_lanes);
    EXPECT_TRUE(ran[1].in_lanes);
    EXPECT_FALSE(ran[2].in_lanes);
    EXPECT_FALSE(ran[3].result.has_value());
    EXPECT_NE(ran[3].refused.find("supply"), std::string::npos);
    for (std::size_t k = 0; k < 3; ++k) {
        ASSERT_TRUE(ran[k].result.has_value()) << k;
        EXPECT_EQ(ran[k].result->outcome.status, Status::completed) << k;
        EXPECT_FALSE(ran[k].result->record.has_value()) << k;
        EXPECT_EQ(ran[k].result->reaction, monitor::Reaction::motor_off) << k;
    }
    const study::BatchOptions exact{.exact = true};
    for (const study::Ran& one : study::run_batch(all, Learned(all.size()), exact)) EXPECT_FALSE(one.in_lanes);
}

TEST(Batch, CodesOfBeforeTheFaultDoNotCount) {
    const std::vector<Case> all = cases();
    const auto ran = study::run_batch(all, Learned(all.size()));
    EXPECT_LT(ran[2].result->codes.front().confirmed, milliseconds(3000));
    for (const auto& code : ran[2].result->codes) EXPECT_LT(code.confirmed, milliseconds(3000));
    EXPECT_TRUE(std::isnan(ran[2].result->detected_after));
}

TEST(Batch, JudgesRulesAndKeepsOnlyTheSignalsAskedFor) {
    const std::vector<Case> all(2, cases()[0]);
    study::BatchOptions options{.rules = study::return_rules(), .signals = {"blade.opening", "asked"}};
    const auto lanes = study::run_batch(all, Learned(2), options);
    options.exact = true;
    const auto exact = study::run_batch(all, Learned(2), options);
    for (std::size_t k = 0; k < 2; ++k) {
        ASSERT_EQ(lanes[k].verdicts.size(), options.rules.size());
        for (std::size_t r = 0; r < options.rules.size(); ++r)
            EXPECT_EQ(lanes[k].verdicts[r].finding, exact[k].verdicts[r].finding) << options.rules[r].name;
        for (const auto* one : {&lanes[k], &exact[k]}) {
            EXPECT_EQ(one->result->record->signals().size(), 2U);
            EXPECT_GT(one->result->record->size(), 1000U);
        }
    }
}

TEST(Batch, ListsMustFit) {
    const std::vector<Case> all = cases();
    EXPECT_THROW((void)study::run_batch(all, Learned(1)), InvalidParameter);
    const study::BatchOptions options{.judges = {all[0].bench}};
    EXPECT_THROW((void)study::run_batch(all, Learned(all.size()), options), InvalidParameter);
}

}  // namespace
