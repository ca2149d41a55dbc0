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

}  // namespace
