// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learned_range.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "support/draw.hpp"
#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack::control;
using twintrack::InvalidParameter;

/// Rises to 0.9 at half travel and stays there: a saturating knee track.
LearnedTrack saturating() {
    LearnedTrack track;
    for (std::size_t i = 0; i < curve_knots; ++i)
        track.curve[i] = 0.1 + 0.8 * std::fmin(static_cast<double>(i) / 16.0, 1.0);
    return track;
}

LearnedRange good() {
    return {{straight_track(0.15, 0.78), straight_track(0.075, 0.39)},
            {straight_track(0.12, 0.88), straight_track(0.88, 0.12)},
            0.08,
            "",
            ""};
}

TEST(LearnedRange, StraightTrackMeetsItsEndsExactly) {
    const LearnedTrack t = straight_track(0.1, 0.7);
    EXPECT_EQ(t.start(), 0.1);
    EXPECT_EQ(t.end(), 0.7);
    EXPECT_NEAR(t.expected(0.5), 0.4, 1e-15);
    EXPECT_NEAR(t.expected(-0.5), -0.2, 1e-15);
    EXPECT_NEAR(t.expected(1.5), 1.0, 1e-14);
}

TEST(LearnedRange, PositionUndoesTheStraightTrack) {
    for (const auto& [start, end] : {std::pair{0.1, 0.7}, {0.9, 0.2}}) {
        const LearnedTrack t = straight_track(start, end);
        for (double p = -0.2; p < 1.3; p += 0.07) EXPECT_NEAR(t.linear_position(t.expected(p)), p, 1e-13);
    }
}

// Analytic: reading a part with ends (a', b') by a range learned with (a, b) errs by an affine law in the true
// position.
TEST(LearnedRange, ForeignRangeErrsByAnAffineLaw) {
    support::Draw draw(7);
    for (int trial = 0; trial < 200; ++trial) {
        const double a = draw.uniform(0.05, 0.3), b = draw.uniform(0.6, 0.95);
        const double own_a = draw.uniform(0.05, 0.3), own_b = draw.uniform(0.6, 0.95);
        const double x = draw.uniform(0.0, 1.0);
        const double error = straight_track(a, b).linear_position(straight_track(own_a, own_b).expected(x)) - x;
        const double expected = (own_a - a) / (b - a) + x * ((own_b - own_a) / (b - a) - 1.0);
        EXPECT_NEAR(error, expected, 1e-12);
    }
}

TEST(LearnedRange, MismatchIsAShareOfTravel) {
    const std::vector<LearnedTrack> tracks = {straight_track(0.15, 0.75), straight_track(0.9, 0.6)};
    EXPECT_NEAR(mismatch(tracks, 1, {0.45, 0.75, 0.0}), 0.0, 1e-14);
    EXPECT_NEAR(mismatch(tracks, 1, {0.45, 0.78, 0.0}), 0.1, 1e-14);
    EXPECT_NEAR(mismatch(tracks, 1, {0.45, 0.72, 0.0}), 0.1, 1e-14);
}

TEST(LearnedRange, HighestPositionOfRisingFallingAndSaturatingTracks) {
    constexpr double never = std::numeric_limits<double>::infinity();
    EXPECT_NEAR(straight_track(0.1, 0.7).highest_position(0.4, 0.0), 0.5, 1e-14);
    EXPECT_NEAR(straight_track(0.7, 0.1).highest_position(0.4, 0.01), 0.51, 1e-14);
    EXPECT_EQ(straight_track(0.1, 0.7).highest_position(0.05, 0.01), 0.0);
    EXPECT_EQ(straight_track(0.1, 0.7).highest_position(0.8, 0.0), never);
    EXPECT_EQ(saturating().highest_position(0.899, 0.01), never);
    EXPECT_NEAR(saturating().highest_position(0.5, 0.0), 0.25, 1e-14);
}

TEST(LearnedRange, RefusesWhatCannotHaveBeenLearned) {
    EXPECT_NO_THROW(check(good(), "learned"));
    LearnedRange one_track = good();
    one_track.pedal.pop_back();
    EXPECT_THROW(check(one_track, "learned"), InvalidParameter);
    LearnedRange flat = good();
    flat.throttle[1] = straight_track(0.5, 0.5);
    EXPECT_THROW(check(flat, "learned"), InvalidParameter);
    LearnedRange holes = good();
    holes.pedal[1].curve[4] = std::nan("");
    EXPECT_THROW(check(holes, "learned"), InvalidParameter);
    LearnedRange high = good();
    high.default_opening = 1.5;
    EXPECT_THROW(check(high, "learned"), InvalidParameter);
}

}  // namespace
