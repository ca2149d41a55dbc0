// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/learned_travel.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "twintrack/bench/learn.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/study/verdict.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::study;
using bench::BenchParameters;
using control::LearnedRange;
using control::straight_track;

/// Straight tracks, ideal wiring.
BenchParameters straight(std::array<double, 2> first, std::array<double, 2> second) {
    BenchParameters p;
    p.wiring.kind = bench::WiringKind::ideal;
    for (auto* tracks : {&p.pedal.tracks, &p.body.tracks}) {
        tracks->resize(2);
        (*tracks)[0] = {.position = {0.0, 1.0}, .ratio = {first[0], first[1]}};
        (*tracks)[1] = {.position = {0.0, 1.0}, .ratio = {second[0], second[1]}};
    }
    return p;
}

LearnedRange range(const BenchParameters& p) {
    LearnedRange r;
    for (const auto& t : p.pedal.tracks) r.pedal.push_back(straight_track(t.ratio.front(), t.ratio.back()));
    for (const auto& t : p.body.tracks) r.throttle.push_back(straight_track(t.ratio.front(), t.ratio.back()));
    const auto& m = p.body.mechanics;
    r.default_opening = (plant::default_angle(m) - m.stops.closed_angle) / (m.stops.open_angle - m.stops.closed_angle);
    return r;
}

/// Analytic: a part with the ends (a, b) read by the range (a', b') errs by
/// p − x = (a − a')/(b' − a') + x ((b − a)/(b' − a') − 1); the ideal chain agrees to 1e-12.
TEST(LearnedTravel, AForeignRangeErrsByAnAffineLaw) {
    const BenchParameters p = straight({0.15, 0.78}, {0.075, 0.39});
    LearnedRange foreign = range(p);
    foreign.pedal = {straight_track(0.19, 0.83), straight_track(0.095, 0.415)};
    foreign.throttle = {straight_track(0.10, 0.70), straight_track(0.05, 0.35)};
    const Record travel = learned_travel(p, foreign);
    ASSERT_EQ(travel.size(), 101u);
    const auto x = travel.column("blade.opening"), pedal = travel.column("pedal.position");
    const auto blade = travel.column("opening");
    for (std::size_t i = 0; i < travel.size(); ++i) {
        EXPECT_NEAR(travel.time()[i], x[i], 1e-12);
        EXPECT_NEAR(pedal[i] - x[i], (0.15 - 0.19) / 0.64 + x[i] * (0.63 / 0.64 - 1.0), 1e-12);
        EXPECT_NEAR(blade[i] - x[i], (0.15 - 0.10) / 0.60 + x[i] * (0.63 / 0.60 - 1.0), 1e-12);
    }
}

std::set<std::string> failed(const BenchParameters& p, const LearnedRange& r) {
    const Record travel = learned_travel(p, r);
    std::set<std::string> names;
    for (const Verdict& v : judge(learned_range_rules(), observed(travel, p, r)))
        if (v.finding == Finding::failed) names.insert(v.rule);
    return names;
}

using Names = std::set<std::string>;

/// At the limits of T.4.2.4 and IC.4.7.2, 10 % of travel: 9.9 % is kept, 10.1 % is not.
TEST(LearnedRangeRules, DrawTheLineAtTenPerCent) {
    const BenchParameters p = straight({0.15, 0.78}, {0.075, 0.39});
    for (const double share : {0.099, 0.101}) {
        const bool beyond = share > 0.10;
        LearnedRange apart = range(p), early = range(p);
        apart.pedal[1] = straight_track(0.075 + share * 0.315, 0.39 + share * 0.315);
        EXPECT_EQ(failed(p, apart), beyond ? Names{"learned pedal tracks agree"} : Names{}) << share;
        for (auto& t : early.throttle) t = straight_track(t.start() - share * t.span(), t.end() - share * t.span());
        early.default_opening += share;
        EXPECT_EQ(failed(p, early), beyond ? Names{"position is the blade's"} : Names{}) << share;
    }
}

TEST(LearnedRangeRules, AreKeptByAGoodRangeAndNameWhatIsWrong) {
    const BenchParameters p = straight({0.15, 0.78}, {0.075, 0.39});
    EXPECT_EQ(failed(p, range(p)), Names{});
    LearnedRange r = range(p);
    r.default_opening += 0.021;
    EXPECT_EQ(failed(p, r), Names{"default position is known"});
    r = range(p);
    for (auto& t : r.pedal) t = straight_track(t.start() - 0.021 * t.span(), t.end());
    EXPECT_EQ(failed(p, r), Names{"released pedal is 0 %"});
    r = range(p);
    for (auto& t : r.pedal) t = straight_track(t.start(), t.start() + 0.6 * t.span());
    EXPECT_EQ(failed(p, r), Names{"pedal never reads too much"});
    const BenchParameters low = straight({0.15, 0.78}, {0.035, 0.39});
    EXPECT_EQ(failed(low, range(low)), (Names{"learned pedal tracks agree", "learned pedal tracks in band",
                                              "learned throttle tracks agree", "learned throttle tracks in band"}))
        << "a track outside the band agrees with nothing";
}

double least_short(const BenchParameters& p, double from) {
    const auto learned = bench::learn(p);
    EXPECT_TRUE(learned.result.accepted) << learned.result.reason;
    const Record travel = learned_travel(p, *learned.result.range);
    const auto column = travel.column("pedal.short");
    return *std::min_element(column.begin() + static_cast<long>(from * 100.0), column.end());
}

/// Analytic: two tracks d apart, of the span s and of equal output resistance, meet half way when they are shorted:
/// one reads d/2 too much, the other d/2 too little, together d/s of travel. Opposed tracks that cross agree there.
TEST(LearnedTravel, AShortShowsByTheDistanceOfTheTracks) {
    BenchParameters p = straight({0.15, 0.65}, {0.30, 0.80});
    p.wiring.kind = bench::WiringKind::harness;
    EXPECT_NEAR(least_short(p, 0.0), 0.15 / 0.50, 0.01);
    BenchParameters opposed = straight({0.15, 0.85}, {0.85, 0.15});
    opposed.wiring.kind = bench::WiringKind::harness;
    EXPECT_LT(least_short(opposed, 0.02), 0.02);
    const auto learned = bench::learn(opposed);
    EXPECT_EQ(failed(opposed, *learned.result.range), Names{}) << "opposite slopes satisfy the clause";
}

TEST(LearnedTravel, ErrorsAreRefused) {
    const BenchParameters p = straight({0.15, 0.78}, {0.075, 0.39});
    LearnedRange three = range(p);
    three.pedal.push_back(straight_track(0.1, 0.5));
    EXPECT_THROW((void)learned_travel(p, three), InvalidParameter);
    EXPECT_THROW((void)learned_travel(p, {}), InvalidParameter);
}

}  // namespace
