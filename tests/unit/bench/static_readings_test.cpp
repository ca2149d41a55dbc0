// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/static_readings.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "twintrack/core/error.hpp"
#include "twintrack/sensing/track.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

BenchParameters ideal() {
    BenchParameters p;
    p.wiring.kind = WiringKind::ideal;
    for (auto* tracks : {&p.pedal.tracks, &p.body.tracks})
        for (auto& t : *tracks) {
            t.noise = 0.01;
            t.hysteresis = 0.01;
            t.bow = 0.005;
        }
    return p;
}

/// By definition: the characteristic, without noise, play and codes.
TEST(StaticReadings, IdealWiringGivesTheCharacteristic) {
    const BenchParameters p = ideal();
    const double at[] = {0.0, 0.31, 0.77, 1.0};
    const auto held = static_readings(p, at);
    ASSERT_EQ(held.size(), 4u);
    for (std::size_t i = 0; i < held.size(); ++i)
        for (std::size_t k = 0; k < 2; ++k) {
            const double pedal = sensing::Track(p.pedal.tracks[k]).characteristic(at[i]);
            const double throttle = sensing::Track(p.body.tracks[k]).characteristic(at[i]);
            EXPECT_NEAR(held[i].pedal[k], pedal, 1e-15);
            EXPECT_NEAR(held[i].throttle[k], throttle, 1e-15);
            EXPECT_NEAR(held[i].pedal_volts[k], pedal * p.reference, 1e-14);
            EXPECT_EQ(held[i].pedal[2], 0.0) << "not in use";
        }
}

TEST(StaticReadings, FaultsAreThereFromTheirStart) {
    const BenchParameters p = ideal();
    const double at[] = {0.4};
    const fault::Fault offset{.where = "pedal.track2", .what = "offset", .to = {}, .amount = 0.03};
    const double before = static_readings(p, at)[0].pedal[1];
    EXPECT_NEAR(static_readings(p, at, {offset})[0].pedal[1], before + 0.03, 1e-15);
    EXPECT_NEAR(static_readings(p, at, {offset})[0].pedal[0], static_readings(p, at)[0].pedal[0], 1e-15);
}

/// The harness's exchange is an edit of its net: what track 1 says arrives at the pin of track 2.
TEST(StaticReadings, ExchangedSignalsArriveExchanged) {
    const BenchParameters p;
    const double at[] = {0.4};
    const fault::Fault exchange{.where = "pedal signal 1", .what = "exchange", .to = {}, .with = "pedal signal 2"};
    const auto well = static_readings(p, at)[0], wrong = static_readings(p, at, {exchange})[0];
    EXPECT_NEAR(wrong.pedal[0], well.pedal[1], 0.003) << "pull resistors differ from pin to pin";
    EXPECT_NEAR(wrong.pedal[1], well.pedal[0], 0.003);
    EXPECT_GT(std::abs(well.pedal[0] - well.pedal[1]), 0.05);
}

TEST(StaticReadings, ErrorsAreRefused) {
    const double beyond[] = {1.01};
    EXPECT_THROW((void)static_readings({}, beyond), InvalidParameter);
    const double at[] = {0.5};
    const fault::Fault nowhere{.where = "roof", .what = "open"};
    EXPECT_THROW((void)static_readings({}, at, {nowhere}), InvalidParameter);
}

}  // namespace
