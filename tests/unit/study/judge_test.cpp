// SPDX-License-Identifier: BSD-3-Clause
#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "twintrack/study/case.hpp"

namespace {

using namespace twintrack;
using study::Answer;

/// A made-up record in which the blade stands at `blade(t, asked)` while the foot does the judged stroke.
study::Judgement judged(const std::function<double(double, double)>& blade, double key_off = 1e9) {
    const auto stroke = bench::Stroke::rest_half_full_rest();
    Record record({{"blade.opening", ""}, {"asked", ""}});
    for (int k = 0; k <= 9500; ++k) {
        const double asked = stroke.travel(milliseconds(k));
        const double row[] = {blade(1e-3 * k, asked), asked};
        record.append(milliseconds(k), row);
    }
    return study::judge(record, stroke, {}, key_off);
}

TEST(Judge, ABladeThatStandsStillGivesNoAnswer) {
    const auto j = judged([](double, double) { return 0.08; });
    EXPECT_EQ(j.answer, Answer::none);
    EXPECT_NEAR(j.error_full, 0.92, 1e-12);
    EXPECT_TRUE(std::isnan(j.settling_time));
}

TEST(Judge, RightWithinTwoPerCentAtEveryHold) {
    EXPECT_EQ(judged([](double, double asked) { return asked + 0.019; }).answer, Answer::right);
    EXPECT_EQ(judged([](double, double asked) { return asked + 0.021; }).answer, Answer::wrong);
    EXPECT_EQ(judged([](double, double asked) { return 0.97 * asked; }).answer, Answer::wrong) << "3 % at full only";
    EXPECT_EQ(judged([](double, double asked) { return asked; }).answer, Answer::right);
}

TEST(Judge, UnsafeBeyondTenPerCentForMoreThanATenthOfASecond) {
    const auto pulse = [](double height, double length) {
        return judged(
            [=](double t, double asked) { return asked + (t >= 1.0 && t <= 1.0 + length + 1e-9 ? height : 0.0); });
    };
    EXPECT_EQ(pulse(0.101, 0.101).answer, Answer::unsafe);
    EXPECT_NE(pulse(0.101, 0.100).answer, Answer::unsafe);
    EXPECT_NE(pulse(0.099, 0.5).answer, Answer::unsafe);
    EXPECT_NEAR(pulse(0.101, 0.101).unasked, 0.101, 1e-12);
}

TEST(Judge, ARunThatEndedEarlyIsNotJudgedOnWhatItDidNotReach) {
    const auto stroke = bench::Stroke::rest_half_full_rest();
    Record record({{"blade.opening", ""}, {"asked", ""}});
    for (int k = 0; k <= 3000; ++k) {
        const double row[] = {stroke.travel(milliseconds(k)), stroke.travel(milliseconds(k))};
        record.append(milliseconds(k), row);
    }
    EXPECT_TRUE(std::isnan(study::judge(record, stroke).error_full));
}

TEST(Judge, NothingIsJudgedAfterTheKeyIsOff) {
    const auto springs = [](double from) {
        return judged([=](double t, double asked) { return t < from - 1e-9 ? asked : 0.15; }, from);
    };
    EXPECT_EQ(springs(9.0).answer, Answer::right);
    EXPECT_LT(springs(9.0).error_rest, 1e-12);
    EXPECT_EQ(judged([](double t, double asked) { return t < 8.9 ? asked : 0.05; }, 9.0).answer, Answer::wrong);
    EXPECT_TRUE(std::isnan(springs(0.5).error_rest)) << "no foot held still for a second before";
}

}  // namespace
