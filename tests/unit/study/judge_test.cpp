// SPDX-License-Identifier: BSD-3-Clause
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <string>

#include "twintrack/study/case.hpp"

namespace {

using namespace twintrack;
using study::Response;

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
    EXPECT_EQ(j.response, Response::none);
    EXPECT_NEAR(j.error_full, 0.92, 1e-12);
    EXPECT_TRUE(std::isnan(j.settling_time));
}

TEST(Judge, RightWithinTwoPerCentAtEveryHold) {
    EXPECT_EQ(judged([](double, double asked) { return asked + 0.019; }).response, Response::right);
    EXPECT_EQ(judged([](double, double asked) { return asked + 0.021; }).response, Response::wrong);
    EXPECT_EQ(judged([](double, double asked) { return 0.97 * asked; }).response, Response::wrong)
        << "3 % at full only";
    EXPECT_EQ(judged([](double, double asked) { return asked; }).response, Response::right);
}

TEST(Judge, UnsafeBeyondTenPerCentForMoreThanATenthOfASecond) {
    const auto pulse = [](double height, double length) {
        return judged(
            [=](double t, double asked) { return asked + (t >= 1.0 && t <= 1.0 + length + 1e-9 ? height : 0.0); });
    };
    EXPECT_EQ(pulse(0.101, 0.101).response, Response::uncommanded);
    EXPECT_NE(pulse(0.101, 0.100).response, Response::uncommanded);
    EXPECT_NE(pulse(0.099, 0.5).response, Response::uncommanded);
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
    EXPECT_EQ(springs(9.0).response, Response::right);
    EXPECT_LT(springs(9.0).error_rest, 1e-12);
    EXPECT_EQ(judged([](double t, double asked) { return t < 8.9 ? asked : 0.05; }, 9.0).response, Response::wrong);
    EXPECT_TRUE(std::isnan(springs(0.5).error_rest)) << "no foot held still for a second before";
}

/// Limits that a double holds exactly, so that a blade can stand on them.
constexpr study::Limits exact{.moved = 0.125, .settled = 0.0625, .unasked = 0.25, .unasked_time = 0.1};

study::Judgement judged_exactly(const bench::Stroke& stroke, const std::function<double(int, double)>& blade) {
    Record record({{"blade.opening", ""}, {"asked", ""}});
    for (int k = 0; k <= 1000 * static_cast<int>(stroke.duration()); ++k) {
        const double asked = stroke.travel(milliseconds(k));
        const double row[] = {blade(k, asked), asked};
        record.append(milliseconds(k), row);
    }
    return study::judge(record, stroke, exact);
}

TEST(Judge, OnALimitIsWithin) {
    const bench::Stroke stroke({0.0, 2.0, 3.0, 5.0}, {0.0, 0.0, 1.0, 1.0});
    const auto answer = [&](const std::function<double(int, double)>& blade) {
        return judged_exactly(stroke, blade).response;
    };
    const auto off_by = [&](double error) { return answer([=](int, double asked) { return asked - error; }); };
    EXPECT_EQ(off_by(0.0625), Response::right);
    EXPECT_EQ(off_by(std::nextafter(0.0625, 1.0)), Response::wrong);
    EXPECT_EQ(off_by(-0.0625), Response::right);
    const auto moves = [&](double swing) { return answer([=](int k, double) { return k < 4000 ? 0.0 : swing; }); };
    EXPECT_EQ(moves(0.125), Response::wrong) << "so much is an answer";
    EXPECT_EQ(moves(std::nextafter(0.125, 0.0)), Response::none);
    const auto opens = [&](double height, int length) {
        return answer([=](int k, double asked) { return k >= 500 && k <= 500 + length ? height : asked; });
    };
    EXPECT_NE(opens(0.25, 1000), Response::uncommanded);
    EXPECT_EQ(opens(std::nextafter(0.25, 1.0), 1000), Response::uncommanded);
    EXPECT_NE(opens(0.5, 100), Response::uncommanded) << "100 ms are allowed";
    EXPECT_EQ(opens(0.5, 101), Response::uncommanded);
}

TEST(Judge, AHoldCountsFromItsLengthOnAndToItsEnd) {
    const auto hold = [](double length) {
        return bench::Stroke({0.0, 1.0, 2.0, 2.0 + length, 3.0 + length, 9.0}, {0.0, 0.0, 0.5, 0.5, 0.0, 0.0});
    };
    const auto still = [](int, double) { return 0.0; };
    EXPECT_FALSE(std::isnan(judged_exactly(hold(1.0), still).error_half));
    EXPECT_TRUE(std::isnan(judged_exactly(hold(0.999), still).error_half));
    const auto ended = [&](int last) {
        Record record({{"blade.opening", ""}, {"asked", ""}});
        for (int k = 0; k <= last; ++k) {
            const double row[] = {0.0, hold(1.0).travel(milliseconds(k))};
            record.append(milliseconds(k), row);
        }
        return study::judge(record, hold(1.0), exact).error_half;
    };
    EXPECT_EQ(ended(3000), 0.5) << "the last row is that of the hold's end";
    EXPECT_TRUE(std::isnan(ended(2999)));
}

TEST(Judge, OnlyTheLastThreeTenthsOfAHoldMustBeRight) {
    const bench::Stroke stroke({0.0, 2.0, 3.0, 5.0}, {0.0, 0.0, 1.0, 1.0});
    const auto late = [&](int from) {
        return judged_exactly(stroke, [=](int k, double asked) { return k >= from ? asked : 0.0; });
    };
    EXPECT_EQ(late(4700).response, Response::right);
    EXPECT_EQ(late(4701).response, Response::wrong);
    EXPECT_NEAR(late(4700).settling_time, 1.7, 1e-9) << "from the begin of the hold; the first hold does not count";
    EXPECT_EQ(late(4701).error_full, 1.0);
    EXPECT_EQ(late(4701).error_rest, 0.0);
}

TEST(Judge, TheHoldBeforeTheFootFirstMovesIsNoSettling) {
    const bench::Stroke stroke({0.0, 2.0, 3.0, 5.0}, {0.0, 0.0, 1.0, 1.0});
    const auto j = judged_exactly(stroke, [](int k, double asked) { return k < 1500 ? 0.125 : asked; });
    EXPECT_EQ(j.settling_time, 0.0) << "of the second hold; the blade came to rest late in the first";
}

TEST(Judge, RestAndFullAreWithinTwoPerCentOfTheEnds) {
    const auto entry = [](double travel) {
        const bench::Stroke stroke({0.0, 1.0, 2.0, 4.0}, {0.5, 0.5, travel, travel});
        const auto j = judged_exactly(stroke, [](int k, double asked) { return k < 2000 ? asked : asked - 0.25; });
        return std::string(j.error_rest == 0.25 ? "rest" : "") + (j.error_half == 0.25 ? "half" : "") +
               (j.error_full == 0.25 ? "full" : "");
    };
    EXPECT_EQ(entry(std::nextafter(0.02, 0.0)), "rest");
    EXPECT_EQ(entry(0.02), "half");
    EXPECT_EQ(entry(1.0 - 0.02), "half");
    EXPECT_EQ(entry(std::nextafter(1.0 - 0.02, 1.0)), "full");
}

}  // namespace
