// SPDX-License-Identifier: BSD-3-Clause
// An engine behind the throttle of a lane: speed, idle and verdicts of the exact solver's bench.
#include <gtest/gtest.h>

#include <cmath>

#include "support/draw.hpp"
#include "twintrack/study/lanes.hpp"

namespace {

using namespace twintrack;
using study::Case;

Case idling() {
    Case c{.stroke = {{0.0, 4.0, 4.3, 5.0, 5.2, 9.0}, {0.0, 0.0, 0.25, 0.25, 0.0, 0.0}}};
    c.bench.wiring.kind = bench::WiringKind::ideal;
    c.bench.engine.emplace();
    return c;
}

const control::LearnResult& learned() {
    static const control::LearnResult result = run_learn(idling()).result;
    return result;
}

std::vector<Case> cases() {
    std::vector<Case> all(8, idling());
    all[1].bench.engine = bench::built_in_engines()[1];
    all[2].bench.engine->course.accessory_from = 2.0, all[2].bench.engine->course.accessory_to = 3.0;
    all[2].bench.engine->course.accessory_torque = 8.0;
    all[3].bench.engine->course.key_off = 6.0;
    all[4].faults = {
        {.where = "body.closed_stop", .what = "shift", .from = milliseconds(2500), .amount = 0.06}};  // ice, deposits
    for (auto* tracks : {&all[4].bench.pedal.tracks, &all[4].bench.body.tracks})  // when the loop has wound up to
        for (auto& t : *tracks) t.noise = 0.0;                                    // what is called a stall hangs on it
    all[5].faults = {{.where = "throttle.track1", .what = "offset", .from = milliseconds(4700), .amount = -0.15}};
    all[6].bench.wiring.kind = bench::WiringKind::harness;
    all[6].faults = {{.where = "pedal signal 1", .what = "open", .from = milliseconds(4600)}};
    all[7].faults = {{.where = "manifold", .what = "vacuum_leak", .from = milliseconds(2000), .amount = 4e-5}};
    return all;
}

/// A sentence without its figures.
std::string words(std::string sentence) {
    std::erase_if(sentence, [](char c) { return c >= '0' && c <= '9'; });
    return sentence;
}

/// [share of travel] Half the rest band: friction leaves the blade anywhere in it, as single codes of the noise have
/// it.
constexpr double resting = 0.001;

TEST(EnginesInLanes, IdleAndAnswerAsOnTheExactBench) {
    const std::vector<Case> all = cases();
    const std::vector<std::optional<control::LearnResult>> known(all.size(), learned());
    const auto ours = study::run_cases(all, known, {}, true);
    for (std::size_t k = 0; k < all.size(); ++k) {
        const study::CaseResult exact = study::run_case(all[k], known[k], true);
        const study::CaseResult& r = ours[k];
        EXPECT_EQ(r.judgement.response, exact.judgement.response) << k;
        ASSERT_EQ(r.codes.size(), exact.codes.size()) << k;
        for (std::size_t n = 0; n < r.codes.size(); ++n) EXPECT_EQ(r.codes[n].text(), exact.codes[n].text()) << k;
        ASSERT_TRUE(r.idle && exact.idle) << k;
        EXPECT_EQ(words(r.sentence), words(exact.sentence)) << k;
        EXPECT_NEAR(r.judgement.error_rest, exact.judgement.error_rest, resting) << k;
        if (!std::isnan(r.judgement.settling_time) || !std::isnan(exact.judgement.settling_time)) {
            EXPECT_NEAR(r.judgement.settling_time, exact.judgement.settling_time, 0.02) << k;
        }
        const auto a = r.record->column("engine.speed"), b = exact.record->column("engine.speed");
        const auto idle_a = r.record->column("idle.opening"), idle_b = exact.record->column("idle.opening");
        ASSERT_EQ(a.size(), b.size()) << k;
        double most = 0.0, apart = 0.0;
        for (std::size_t t = 0; t < a.size(); ++t) {
            most = std::max(most, std::fabs(a[t] - b[t]));
            apart = std::max(apart, std::fabs(idle_a[t] - idle_b[t]));
        }
        EXPECT_LT(most, 4.0) << k;  // [rad/s]: the loop's noise moves the blade by a count, and the air follows
        EXPECT_LT(apart, 5e-3) << k;
    }
    EXPECT_FALSE(ours[5].codes.empty());
    EXPECT_FALSE(ours[6].codes.empty());
}

TEST(EnginesInLanes, HaveTheSameBitsWhateverIsBeside) {
    std::vector<lanes::Case> together;
    for (const Case& c : cases()) together.push_back(study::in_lane(c, learned()));
    const auto reference = lanes::run(together, {.threads = 1, .instruction_set = "baseline"});
    for (const std::string& set : lanes::instruction_sets()) {
        const auto other = lanes::run(together, {.threads = 2, .instruction_set = set});
        for (std::size_t k = 0; k < together.size(); ++k) {
            EXPECT_EQ(reference[k].mean_error, other[k].mean_error) << set << k;
            EXPECT_EQ(reference[k].final_opening, other[k].final_opening) << set << k;
        }
    }
    EXPECT_EQ(lanes::run({together[3]}, {})[0].final_opening, reference[3].final_opening);
}

}  // namespace
