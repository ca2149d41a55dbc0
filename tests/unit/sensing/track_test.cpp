// SPDX-License-Identifier: BSD-3-Clause
// Expected numbers are analytic (the law in track.hpp) unless a comment says otherwise.
#include "twintrack/sensing/track.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace {

using namespace twintrack;
using namespace twintrack::sensing;

TrackParameters straight(double rest, double full) { return {.ratio = {rest, full}, .noise = 0.0}; }

TEST(Track, InterpolatesBetweenKnotsAndHoldsTheEnds) {
    const Track t(straight(0.2, 0.8));
    EXPECT_DOUBLE_EQ(t.characteristic(0.0), 0.2);
    EXPECT_DOUBLE_EQ(t.characteristic(0.25), 0.35);
    EXPECT_DOUBLE_EQ(t.characteristic(1.0), 0.8);
    EXPECT_DOUBLE_EQ(t.characteristic(-0.1), 0.2);
    EXPECT_DOUBLE_EQ(t.characteristic(1.1), 0.8);
}

TEST(Track, AKneeIsAThirdKnot) {
    const Track t({.position = {0.0, 0.6, 1.0}, .ratio = {0.1, 0.9, 0.9}});
    EXPECT_DOUBLE_EQ(t.characteristic(0.3), 0.5);
    EXPECT_DOUBLE_EQ(t.characteristic(0.6), 0.9);
    EXPECT_DOUBLE_EQ(t.characteristic(0.8), 0.9);
}

TEST(Track, TheBowIsLargestHalfWayAndGoneAtTheEnds) {
    TrackParameters p = straight(0.2, 0.8);
    p.bow = 0.02;
    const Track t(p);
    EXPECT_DOUBLE_EQ(t.characteristic(0.0), 0.2);
    EXPECT_DOUBLE_EQ(t.characteristic(0.5), 0.52);
    EXPECT_DOUBLE_EQ(t.characteristic(1.0), 0.8);
}

TEST(Track, AHallOutputClampsAndAPotentiometerReachesItsRails) {
    TrackParameters p = straight(0.0, 1.0);
    p.clamp_low = 0.05;
    p.clamp_high = 0.9;
    EXPECT_DOUBLE_EQ(Track(p).characteristic(0.0), 0.05);
    EXPECT_DOUBLE_EQ(Track(p).characteristic(1.0), 0.9);
    p.kind = TrackKind::potentiometer;
    EXPECT_DOUBLE_EQ(Track(p).characteristic(0.0), 0.0);
    EXPECT_DOUBLE_EQ(Track(p).characteristic(1.0), 1.0);
    EXPECT_DOUBLE_EQ(Track(p).read(1.0, {.offset = 0.3}), 1.0);
}

TEST(Track, HysteresisIsAPlayOfTwiceItsHalfWidth) {
    TrackParameters p = straight(0.0, 1.0);
    p.kind = TrackKind::potentiometer;
    p.hysteresis = 0.01;
    Track t(p);
    EXPECT_DOUBLE_EQ(t.read(0.5), 0.5);     // starts in the middle of its play
    EXPECT_DOUBLE_EQ(t.read(0.505), 0.5);   // inside
    EXPECT_DOUBLE_EQ(t.read(0.6), 0.59);    // follows behind
    EXPECT_DOUBLE_EQ(t.read(0.585), 0.59);  // turned round, still inside
    EXPECT_DOUBLE_EQ(t.read(0.5), 0.51);
    EXPECT_NEAR(t.read(0.7) - 0.69, 0.0, 1e-15);
    // A closed loop between 0.2 and 0.8 differs by 2 h on the way up and down.
    t.read(0.2);
    const double up = t.read(0.5);
    t.read(0.8);
    EXPECT_NEAR(t.read(0.5) - up, 0.02, 1e-15);
}

TEST(Track, GainTurnsAboutRestAndOffsetShifts) {
    Track t(straight(0.2, 0.8));
    EXPECT_DOUBLE_EQ(t.read(0.5), 0.5);
    EXPECT_DOUBLE_EQ(t.read(0.0, {.gain = 1.1}), 0.2);
    EXPECT_DOUBLE_EQ(t.read(0.5, {.gain = 1.1}), 0.53);
    EXPECT_DOUBLE_EQ(t.read(0.5, {.offset = -0.04}), 0.46);
    EXPECT_DOUBLE_EQ(t.read(1.0, {.offset = 0.5}), 0.97);  // the output stage still clamps
}

TEST(Track, AFrozenTrackHoldsItsLastValueAndItsNoise) {
    TrackParameters p = straight(0.2, 0.8);
    p.noise = 0.003;
    Track t(p);
    EXPECT_DOUBLE_EQ(t.read(0.5), 0.5);
    EXPECT_DOUBLE_EQ(t.read(0.9, {.frozen = true}), 0.5);
    EXPECT_DOUBLE_EQ(t.read(0.9), 0.74);
    EXPECT_DOUBLE_EQ(t.noise_rms(), 0.003);
    EXPECT_DOUBLE_EQ(t.noise_rms({.noise = 0.004}), 0.005);  // independent noises add in squares
    EXPECT_DOUBLE_EQ(t.noise_rms({.frozen = true}), 0.0);
    Track born_frozen(p);
    EXPECT_DOUBLE_EQ(born_frozen.read(0.25, {.frozen = true}), 0.35);
    EXPECT_DOUBLE_EQ(born_frozen.read(0.75, {.frozen = true}), 0.35);
}

std::string where(const TrackParameters& p) {
    try {
        const Track t(p, "pedal.tracks[1]");
    } catch (const InvalidParameter& e) {
        return e.where();
    }
    return "accepted";
}

TEST(Track, SaysWhatIsWrongWithItsParameters) {
    EXPECT_EQ(where({}), "accepted");
    EXPECT_EQ(where({.position = {0.0}, .ratio = {0.1}}), "pedal.tracks[1].position");
    EXPECT_EQ(where({.position = {0.1, 1.0}}), "pedal.tracks[1].position");
    EXPECT_EQ(where({.position = {0.0, 0.9}}), "pedal.tracks[1].position");
    EXPECT_EQ(where({.position = {0.0, 0.5, 0.5, 1.0}, .ratio = {0.1, 0.2, 0.3, 0.4}}), "pedal.tracks[1].position");
    EXPECT_EQ(where({.ratio = {0.1, 0.2, 0.3}}), "pedal.tracks[1].ratio");
    EXPECT_EQ(where({.ratio = {0.1, 1.2}}), "pedal.tracks[1].ratio[2]");
    EXPECT_EQ(where({.ratio = {0.1, std::nan("")}}), "pedal.tracks[1].ratio[2]");
    EXPECT_EQ(where({.noise = std::numeric_limits<double>::infinity()}), "pedal.tracks[1].noise");
    EXPECT_EQ(where({.clamp_low = 0.5, .clamp_high = 0.5}), "pedal.tracks[1].clamp_low");
}

/// A wiper's path that is rough by `rms`, and a straight line under it.
Track rough(double rms, double grain = 0.004, std::uint32_t channel = 0) {
    TrackParameters p = straight(0.1, 0.9);
    p.kind = TrackKind::potentiometer;
    p.roughness = rms;
    p.grain = grain;
    Track t(p);
    t.lay(grains_of(7, channel));
    return t;
}

TEST(Roughness, BelongsToThePlace) {
    Track up = rough(0.001), down = rough(0.001), other = rough(0.001, 0.004, 1);
    int differ = 0;
    for (int k = 0; k <= 1000; ++k) {
        const double there = up.read(k * 1e-3);
        EXPECT_EQ(up.read(k * 1e-3), there) << "again at the same place";
        EXPECT_EQ(rough(0.001).read(k * 1e-3), there) << "another bench of the same seed";
        differ += other.read(k * 1e-3) != there;
    }
    EXPECT_GT(differ, 990) << "another track has a path of its own";
    for (int k = 1000; k >= 0; --k) EXPECT_EQ(down.read(k * 1e-3), up.read(k * 1e-3)) << "from the other side";
}

// Stated: rms over the travel, no mean, straight between the grains. 5,000 independent grains: 1/√(2·5000) = 1 % of the
// rms is one standard deviation of it, so 5 % is five.
TEST(Roughness, HasTheStatedRms) {
    Track t = rough(0.001, 2e-4);
    double sum = 0.0, squares = 0.0, across = 0.0;
    constexpr int count = 100000;
    for (int k = 0; k < count; ++k) {
        const double x = (k + 0.5) / count, away = t.read(x) - (0.1 + 0.8 * x);
        sum += away, squares += away * away;
        across += away * (t.read(std::min(x + 4e-4, 1.0)) - (0.1 + 0.8 * std::min(x + 4e-4, 1.0)));
    }
    EXPECT_NEAR(std::sqrt(squares / count), 0.001, 0.00005);
    EXPECT_NEAR(sum / count, 0.0, 0.0001);
    EXPECT_NEAR(across / squares, 0.0, 0.1) << "two grains apart nothing is left of it";
}

TEST(Roughness, IsStraightBetweenTheGrains) {
    Track t = rough(0.001, 0.01);
    for (int grain = 0; grain < 99; ++grain) {
        const double a = t.read((grain + 0.1) * 0.01), b = t.read((grain + 0.5) * 0.01),
                     c = t.read((grain + 0.9) * 0.01);
        EXPECT_NEAR(b, 0.5 * (a + c), 1e-12) << grain;
    }
}

TEST(Roughness, OfNothingChangesNoBit) {
    Track bare(straight(0.1, 0.9)), laid(straight(0.1, 0.9));
    laid.lay(grains_of(7, 0));
    for (int k = 0; k <= 1000; ++k) EXPECT_EQ(bare.read(k * 1e-3), laid.read(k * 1e-3));
}

}  // namespace
