// SPDX-License-Identifier: BSD-3-Clause
// A sensor supply that is wrong while the converter's is right: analytic, a ratiometric track follows its own supply.
#include <gtest/gtest.h>

#include "twintrack/bench/session.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

TEST(Wires, ARegulatorThatFallsSlowlyTakesBothTracksWithIt) {
    BenchParameters p;
    for (auto& t : p.pedal.tracks) t.noise = 0.0;
    for (auto& t : p.body.tracks) t.noise = 0.0;
    const fault::Fault f{.where = "pedal regulator",
                         .what = "regulator_offset",
                         .from = milliseconds(100),
                         .amount = -1.0,
                         .ramp = milliseconds(200)};
    Session session(p, Stroke::rest(1.0), {.faults = fault::Schedule({f}), .monitored = false});
    for (int k = 0; k < 400; ++k) session.step();
    for (const char* track : {"pedal.track1", "pedal.track2"}) {
        const auto volts = session.record().column(track);
        EXPECT_NEAR(volts[200], 0.9 * volts[99], 0.01) << track;
        EXPECT_NEAR(volts[399], 0.8 * volts[99], 0.01) << track;
    }
    const auto body = session.record().column("throttle.track1");
    EXPECT_NEAR(body[399], body[99], 0.02);
}

}  // namespace
