// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learn_checks.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::control;

testing::AssertionResult says(const Problem& problem, Refusal refusal, const std::string& part) {
    if (problem.refusal == refusal && problem.sentence.find(part) != std::string::npos)
        return testing::AssertionSuccess();
    return testing::AssertionFailure() << twintrack::name_of(problem.refusal) << ": \"" << problem.sentence << "\"";
}

BladeFindings blade() {
    return {.closed = {0.12, 0.88},
            .open = {0.88, 0.12},
            .lifted = {0.181, 0.819},
            .unpowered = {0.18, 0.82},
            .curves = {straight_track(0.12, 0.88), straight_track(0.88, 0.12)},
            .gap = 0.01,
            .return_time = 0.2};
}

PedalFindings pedal() {
    return {.rest = {0.15, 0.075},
            .first_press = {0.78, 0.39},
            .second_press = {0.781, 0.3905},
            .curves = {straight_track(0.15, 0.7805), straight_track(0.075, 0.39025)},
            .gap = 0.01};
}

/// The same parts with a third track, in step with the first.
BladeFindings blade_of_three() {
    BladeFindings f = blade();
    f.closed[2] = 0.06, f.open[2] = 0.44, f.lifted[2] = 0.0905, f.unpowered[2] = 0.09;
    f.curves.push_back(straight_track(0.06, 0.44));
    return f;
}

PedalFindings pedal_of_three() {
    PedalFindings f = pedal();
    f.rest[2] = 0.1, f.first_press[2] = 0.5, f.second_press[2] = 0.5005;
    f.curves.push_back(straight_track(0.1, 0.50025));
    return f;
}

TEST(LearnParameters, EveryFieldIsGuarded) {
    support::expect_every_field_guarded<LearnParameters>();
    support::expect_every_field_guarded<LearnLimits>();
    LearnParameters p;
    p.supply_least = p.supply_most;
    EXPECT_THROW(twintrack::validate(p, "learn"), twintrack::InvalidParameter);
}

TEST(LearnChecks, GoodFindingsPass) {
    EXPECT_FALSE(blade_problem({}, blade()));
    EXPECT_FALSE(pedal_problem({}, pedal()));
    EXPECT_FALSE(supply_problem({}, 13.0));
    EXPECT_NEAR(default_opening(blade()), 0.06 / 0.76, 1e-12);
}

TEST(LearnChecks, SupplyAndBandNameTheNumbers) {
    EXPECT_TRUE(says(supply_problem({}, 9.2), Refusal::supply_out_of_window, "9.2 V"));
    EXPECT_TRUE(says(supply_problem({}, 9.2), Refusal::supply_out_of_window, "10 to 16 V"));
    const Problem text = band_problem({}, "Pedal", {0.5, 0.01, 0.0}, 2);
    EXPECT_TRUE(says(text, Refusal::reading_out_of_band, "Pedal track 2 reads 1.0 %"));
    EXPECT_FALSE(band_problem({}, "Pedal", {0.5, 0.5, 0.0}, 2)) << "the third track is not in use";
}

TEST(LearnChecks, DeadTrackIsNamedBySpan) {
    EXPECT_FALSE(span_problem("Pedal", {0.15, 0.07}, {0.78, 0.39}, 2, 0.2, 0.1));
    EXPECT_TRUE(
        says(span_problem("Pedal", {0.15, 0.07}, {0.16, 0.39}, 2, 0.2, 0.1), Refusal::span_too_small, "Pedal track 1"));
    EXPECT_TRUE(
        says(span_problem("Pedal", {0.15, 0.07}, {0.78, 0.08}, 2, 0.2, 0.1), Refusal::span_too_small, "Pedal track 2"));
}

TEST(LearnChecks, BladeThatDidNotMove) {
    BladeFindings f = blade();
    f.open = f.closed;
    EXPECT_TRUE(says(movement_problem(f, 2, 0.7), Refusal::no_movement, "did not move"));
}

TEST(LearnChecks, BladeThatStaysOpenWhenReleased) {
    BladeFindings f = blade();
    f.unpowered = {0.85, 0.15};
    EXPECT_TRUE(says(blade_problem({}, f), Refusal::default_outside, "stayed at 96.1 %"));
}

TEST(LearnChecks, TracksThatDisagreeWhenReleased) {
    BladeFindings f = blade();
    f.unpowered[1] -= 0.08;
    EXPECT_TRUE(says(blade_problem({}, f), Refusal::default_disagrees, "Throttle track 2 disagrees"));
}

TEST(LearnChecks, BackwardsTrackJumpAndTwins) {
    BladeFindings backwards = blade();
    backwards.curves[1].curve[10] += 0.1;
    EXPECT_TRUE(says(blade_problem({}, backwards), Refusal::runs_backwards, "ran backwards"));
    BladeFindings jump = blade();
    jump.gap = 0.2;
    EXPECT_TRUE(says(blade_problem({}, jump), Refusal::travel_skipped, "jumped over 20.0 %"));
    PedalFindings twins = pedal();
    twins.curves[1] = twins.curves[0];
    EXPECT_TRUE(says(pedal_problem({}, twins), Refusal::tracks_alike, "read the same"));
}

TEST(LearnChecks, PressesMustAgreeAndRise) {
    PedalFindings half = pedal();
    half.second_press = {0.46, 0.23};
    EXPECT_TRUE(says(pedal_problem({}, half), Refusal::presses_differ, "presses differ"));
    PedalFindings falls = pedal();
    std::swap(falls.rest, falls.first_press);
    falls.second_press = falls.first_press;
    falls.curves = {straight_track(0.78, 0.15), straight_track(0.39, 0.075)};
    EXPECT_TRUE(says(pedal_problem({}, falls), Refusal::pedal_falls, "must rise"));
    LearnParameters either_way;
    either_way.limits.pedal_rises = false;
    EXPECT_FALSE(pedal_problem(either_way, falls));
}

TEST(LearnChecks, TheThirdTrackIsHeldAgainstTheFirst) {
    ASSERT_FALSE(blade_problem({}, blade_of_three()));
    ASSERT_FALSE(pedal_problem({}, pedal_of_three()));
    BladeFindings apart = blade_of_three();
    apart.unpowered[2] += 0.05;
    EXPECT_TRUE(says(blade_problem({}, apart), Refusal::default_disagrees, "Throttle track 3 disagrees"));
    BladeFindings backwards = blade_of_three();
    backwards.curves[2].curve[10] += 0.1;
    EXPECT_TRUE(says(blade_problem({}, backwards), Refusal::runs_backwards, "Throttle track 3 ran backwards"));
    BladeFindings worn = blade_of_three();
    for (std::size_t i = 10; i < 13; ++i) worn.curves[2].curve[i] += 0.05;
    LearnParameters p;
    p.limits.turn_back_most = 1.0;
    EXPECT_TRUE(says(blade_problem(p, worn), Refusal::bent, "Throttle track 3 leaves a straight line"));
    for (const std::size_t twin : {0U, 1U}) {
        PedalFindings twins = pedal_of_three();
        twins.curves[2] = twins.curves[twin];
        const std::string both = "Pedal track " + std::to_string(twin + 1) + " and track 3 read the same";
        EXPECT_TRUE(says(pedal_problem({}, twins), Refusal::tracks_alike, both));
    }
    EXPECT_TRUE(says(band_problem({}, "Pedal", {0.5, 0.5, 0.0}, 3), Refusal::reading_out_of_band, "Pedal track 3"));
    EXPECT_TRUE(says(margin_problem({}, "Pedal", {0.5, 0.5, 0.0449}, 3), Refusal::near_band, "Pedal track 3"));
    EXPECT_TRUE(says(span_problem("Pedal", {0.15, 0.07, 0.1}, {0.78, 0.39, 0.11}, 3, 0.2, 0.1), Refusal::span_too_small,
                     "Pedal track 3"));
}

TEST(LearnChecks, EveryLimitBitesOnItsOwnSide) {
    const LearnLimits l;
    BladeFindings f = blade();
    f.return_time = 0.99 * l.return_time_most;
    f.noise = 0.99 * l.noise_most;
    f.lifted[0] = f.unpowered[0] - 0.99 * l.default_repeat_most * 0.76;
    EXPECT_FALSE(blade_problem({}, f));
    f.return_time = 1.01 * l.return_time_most;
    EXPECT_TRUE(says(blade_problem({}, f), Refusal::slow_return, "1.01 s"));
    f.lifted[0] = f.unpowered[0] - 1.01 * l.default_repeat_most * 0.76;
    EXPECT_TRUE(says(blade_problem({}, f), Refusal::default_not_repeated, "1.5 %"));
    f.noise = 1.01 * l.noise_most;
    EXPECT_TRUE(says(blade_problem({}, f), Refusal::noisy, "by 0.202 % of full scale (rms) at rest, at most 0.2 %"));
    EXPECT_FALSE(blade_problem(learn_parameters(Strictness::careless), f));
}

/// A blade that friction holds between its stop and where an opener spring would lift it; one on the stop is well.
TEST(LearnChecks, ABladeThatIsNeitherLiftedNorOnItsStopSticks) {
    BladeFindings f = blade();
    const LearnParameters strict = learn_parameters(Strictness::strict);
    const double start = f.curves[0].start(), span = f.curves[0].span();
    const auto at = [&](double opening) {
        for (std::size_t k = 0; k < f.curves.size(); ++k) f.unpowered[k] = f.lifted[k] = f.curves[k].expected(opening);
        f.unpowered[0] = f.lifted[0] = start + opening * span;
        return blade_problem(strict, f);
    };
    EXPECT_FALSE(at(0.004));
    EXPECT_TRUE(says(at(0.012), Refusal::default_outside, "stayed at 1.2 % of its travel: off its closed stop"));
    EXPECT_TRUE(says(at(0.029), Refusal::default_outside, "below 3.0 %"));
    EXPECT_FALSE(at(0.031));
    at(0.012);
    EXPECT_FALSE(blade_problem({}, f)) << "bodies without a lifted default position pass the default limits";
}

TEST(LearnChecks, EndsKeepTheirDistanceToTheBand) {
    EXPECT_FALSE(margin_problem({}, "Pedal", {0.0451, 0.9549, 0.0}, 2));
    EXPECT_TRUE(says(margin_problem({}, "Pedal", {0.0449, 0.5}, 2), Refusal::near_band, "Pedal track 1 ends at 4.5 %"));
    EXPECT_TRUE(says(margin_problem({}, "Pedal", {0.5, 0.9551}, 2), Refusal::near_band, "Pedal track 2"));
}

/// Analytic: a track with one knee at a knot is a knee; a bump of the height b on a straight track leaves b; a bow
/// 4 b x (1 − x) is best met by a knee in the middle, which leaves b/4 of it.
TEST(LearnChecks, BendIsWhatNoLineAndNoKneeExplains) {
    LearnedTrack t = straight_track(0.2, 0.7);
    EXPECT_NEAR(bend(t), 0.0, 1e-15);
    for (std::size_t i = 16; i < curve_knots; ++i) t.curve[i] = t.curve[16];
    EXPECT_NEAR(bend(t), 0.0, 1e-15);
    LearnedTrack bump = straight_track(0.2, 0.7);
    for (std::size_t i = 10; i < 13; ++i) bump.curve[i] += 0.05;
    EXPECT_GT(bend(bump), 0.05);
    LearnedTrack bow = straight_track(0.2, 0.7);
    for (std::size_t i = 0; i < curve_knots; ++i) {
        const double x = static_cast<double>(i) / 32.0;
        bow.curve[i] += 4.0 * 0.02 * x * (1.0 - x);
    }
    EXPECT_NEAR(bend(bow), 0.25 * 0.02 / 0.5, 1e-12);
    BladeFindings worn = blade();
    for (std::size_t i = 10; i < 13; ++i) worn.curves[1].curve[i] += 0.05;
    LearnParameters p;
    p.limits.turn_back_most = 1.0;
    EXPECT_TRUE(says(blade_problem(p, worn), Refusal::bent, "Throttle track 2 leaves a straight line"));
}

TEST(Strictness, EachStepBelievesMore) {
    const LearnParameters strict = learn_parameters(Strictness::strict), middle,
                          careless = learn_parameters(Strictness::careless);
    for (const auto& [value, text] : names(twintrack::Tag<Strictness>{}))
        EXPECT_NO_THROW(twintrack::validate(learn_parameters(value), "learn")) << text;
    const auto loosens = [](double LearnLimits::*member, const LearnParameters& a, const LearnParameters& b) {
        return a.limits.*member <= b.limits.*member;
    };
    for (auto most : {&LearnLimits::gap_most, &LearnLimits::turn_back_most, &LearnLimits::bend_most,
                      &LearnLimits::default_opening_most, &LearnLimits::default_mismatch_most,
                      &LearnLimits::default_repeat_most, &LearnLimits::return_time_most, &LearnLimits::noise_most,
                      &LearnLimits::press_agreement, &LearnLimits::closing_move_most}) {
        EXPECT_TRUE(loosens(most, strict, middle));
        EXPECT_TRUE(loosens(most, middle, careless));
    }
    for (auto least :
         {&LearnLimits::default_opening_least, &LearnLimits::throttle_span_least, &LearnLimits::pedal_span_least,
          &LearnLimits::second_span_least, &LearnLimits::band_margin, &LearnLimits::alike_least}) {
        EXPECT_TRUE(loosens(least, middle, strict));
        EXPECT_TRUE(loosens(least, careless, middle));
    }
}

TEST(Refusal, EveryOneHasAName) {
    for (const auto& [value, text] : names(twintrack::Tag<Refusal>{})) EXPECT_NE(std::string(text), "");
    EXPECT_EQ(std::string(twintrack::name_of(Refusal::interrupted)), "interrupted");
}

}  // namespace
