// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/lanes.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace twintrack;
using study::Case;
using study::LearnSource;

/// Every sort of learn, healthy and with a fault.
std::vector<Case> cases() {
    std::vector<Case> all;
    sensing::PedalParameters other;
    other.name = "another pedal";
    other.tracks[0].ratio = {0.2, 0.9}, other.tracks[1].ratio = {0.1, 0.45};
    for (const LearnSource learn : {LearnSource::none, LearnSource::fresh, LearnSource::stale})
        for (const double offset : {0.0, 0.15}) {
            Case c{.learn = learn};
            c.bench.wiring.kind = bench::WiringKind::ideal;
            if (learn == LearnSource::stale) c.learn_pedal = other;
            if (offset != 0.0)
                c.faults = {{.where = "pedal.track2", .what = "offset", .from = milliseconds(3500), .amount = offset}};
            all.push_back(c);
        }
    return all;
}

TEST(CasesInLanes, GiveTheVerdictsOfTheExactSolver) {
    const std::vector<Case> all = cases();
    std::vector<std::optional<control::LearnResult>> learned;
    for (const Case& c : all)
        learned.push_back(c.learn == LearnSource::none ? std::optional<control::LearnResult>{} : run_learn(c).result);
    const auto ours = study::run_cases(all, learned, {}, true);
    for (std::size_t k = 0; k < all.size(); ++k) {
        const study::CaseResult exact = study::run_case(all[k], learned[k], false);
        EXPECT_EQ(ours[k].judgement.response, exact.judgement.response) << k;
        EXPECT_NEAR(ours[k].judgement.unasked, exact.judgement.unasked, 2e-3) << k;
        EXPECT_NEAR(ours[k].final_opening, exact.final_opening, 2e-3) << k;
        EXPECT_EQ(ours[k].learn_accepted, exact.learn_accepted) << k;
        ASSERT_EQ(ours[k].codes.size(), exact.codes.size()) << k;
        for (std::size_t n = 0; n < exact.codes.size(); ++n) {
            EXPECT_EQ(ours[k].codes[n].text(), exact.codes[n].text());
            EXPECT_EQ(ours[k].codes[n].confirmed, exact.codes[n].confirmed);
        }
        EXPECT_EQ(ours[k].outcome.when, exact.outcome.when);
        ASSERT_TRUE(ours[k].record.has_value());
        EXPECT_EQ(ours[k].record->signals().size(), 3U);
    }
}

TEST(CasesInLanes, SayWhatCannotRunThere) {
    Case c;
    c.faults = {{.where = "motor +", .what = "open", .every = milliseconds(50), .lasting = milliseconds(3)}};
    EXPECT_NE(study::lanes_refusal(c).find("comes and goes"), std::string::npos);
    c.faults.clear();
    EXPECT_EQ(study::lanes_refusal(c), "");
    c.bench.body.mechanics.friction.kind = plant::FrictionKind::simple;
    EXPECT_NE(study::lanes_refusal(c), "");
    EXPECT_THROW((void)study::run_cases({c}, {}), InvalidParameter);
}

TEST(CasesInLanes, TellWhichAnInterruptionLeft) {
    std::vector<Case> many(3000, cases()[0]);
    const std::vector<std::optional<control::LearnResult>> none(many.size());
    const auto results = study::run_cases(many, none, {.threads = 1}, false, [] { return true; });
    EXPECT_EQ(results.size(), many.size());
    EXPECT_EQ(results.back().outcome.status, Status::interrupted);
}

}  // namespace
