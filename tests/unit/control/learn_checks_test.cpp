// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learn_checks.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack::control;

testing::AssertionResult says(const std::string& sentence, const std::string& part) {
    if (sentence.find(part) != std::string::npos) return testing::AssertionSuccess();
    return testing::AssertionFailure() << "\"" << sentence << "\" does not say \"" << part << "\"";
}

BladeFindings blade() {
    return {{0.12, 0.88}, {0.88, 0.12}, {0.18, 0.82}, {straight_track(0.12, 0.88), straight_track(0.88, 0.12)}, 0.01};
}

PedalFindings pedal() {
    return {{0.15, 0.075},
            {0.78, 0.39},
            {0.781, 0.3905},
            {straight_track(0.15, 0.7805), straight_track(0.075, 0.39025)},
            0.01};
}

TEST(LearnParameters, EveryFieldIsGuarded) {
    support::expect_every_field_guarded<LearnParameters>();
    LearnParameters p;
    p.supply_least = p.supply_most;
    EXPECT_THROW(twintrack::validate(p, "learn"), twintrack::InvalidParameter);
}

TEST(LearnChecks, GoodFindingsPass) {
    EXPECT_EQ(blade_problem(blade()), "");
    EXPECT_EQ(pedal_problem({}, pedal()), "");
    EXPECT_EQ(supply_problem({}, 13.0), "");
    EXPECT_NEAR(default_opening(blade()), 0.06 / 0.76, 1e-12);
}

TEST(LearnChecks, SupplyAndBandNameTheNumbers) {
    EXPECT_TRUE(says(supply_problem({}, 9.2), "9.2 V"));
    EXPECT_TRUE(says(supply_problem({}, 9.2), "10 to 16 V"));
    const std::string text = band_problem({}, "Pedal", {0.5, 0.01, 0.0}, 2);
    EXPECT_TRUE(says(text, "Pedal track 2 reads 1.0 %"));
    EXPECT_EQ(band_problem({}, "Pedal", {0.5, 0.5, 0.0}, 2), "") << "the third track is not in use";
}

TEST(LearnChecks, DeadTrackIsNamedBySpan) {
    EXPECT_EQ(span_problem("Pedal", {0.15, 0.07}, {0.78, 0.39}, 2, 0.2, 0.1), "");
    EXPECT_TRUE(says(span_problem("Pedal", {0.15, 0.07}, {0.16, 0.39}, 2, 0.2, 0.1), "Pedal track 1"));
    EXPECT_TRUE(says(span_problem("Pedal", {0.15, 0.07}, {0.78, 0.08}, 2, 0.2, 0.1), "Pedal track 2"));
}

TEST(LearnChecks, BladeThatDidNotMove) {
    BladeFindings f = blade();
    f.open = f.closed;
    EXPECT_TRUE(says(movement_problem(f, 2, 0.7), "did not move"));
}

TEST(LearnChecks, BladeThatStaysOpenWhenReleased) {
    BladeFindings f = blade();
    f.unpowered = {0.85, 0.15};
    EXPECT_TRUE(says(blade_problem(f), "stayed at 96.1 %"));
}

TEST(LearnChecks, TracksThatDisagreeWhenReleased) {
    BladeFindings f = blade();
    f.unpowered[1] -= 0.08;
    EXPECT_TRUE(says(blade_problem(f), "Throttle track 2 disagrees"));
}

TEST(LearnChecks, BackwardsTrackJumpAndTwins) {
    BladeFindings backwards = blade();
    backwards.curves[1].curve[10] += 0.1;
    EXPECT_TRUE(says(blade_problem(backwards), "ran backwards"));
    BladeFindings jump = blade();
    jump.gap = 0.2;
    EXPECT_TRUE(says(blade_problem(jump), "jumped over 20.0 %"));
    PedalFindings twins = pedal();
    twins.curves[1] = twins.curves[0];
    EXPECT_TRUE(says(pedal_problem({}, twins), "read the same"));
}

TEST(LearnChecks, PressesMustAgreeAndRise) {
    PedalFindings half = pedal();
    half.second_press = {0.46, 0.23};
    EXPECT_TRUE(says(pedal_problem({}, half), "presses differ"));
    PedalFindings falls = pedal();
    std::swap(falls.rest, falls.first_press);
    falls.second_press = falls.first_press;
    falls.curves = {straight_track(0.78, 0.15), straight_track(0.39, 0.075)};
    EXPECT_TRUE(says(pedal_problem({}, falls), "must rise"));
    EXPECT_EQ(pedal_problem({.pedal_rises = false}, falls), "");
}

}  // namespace
