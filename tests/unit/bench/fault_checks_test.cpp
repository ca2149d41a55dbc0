// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/fault_checks.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/engine/examples.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

BenchParameters bench_with_tracks(std::size_t pedal, std::size_t throttle) {
    BenchParameters b;
    b.pedal.tracks.resize(pedal, b.pedal.tracks[1]);
    b.body.tracks.resize(throttle, b.body.tracks[1]);
    return b;
}

/// Where the only fault is refused; empty when it is taken.
std::string refused(const BenchParameters& b, const fault::Fault& f, bool brake = false,
                    std::optional<double> duration = {}) {
    try {
        check_faults(b, {f}, brake, duration);
    } catch (const InvalidParameter& refusal) {
        return refusal.where();
    }
    return {};
}

TEST(FaultChecks, ATrackMustBeThere) {
    for (const std::size_t pedal : {2, 3})
        for (const std::size_t throttle : {2, 3})
            for (std::size_t k = 1; k <= 3; ++k) {
                const BenchParameters b = bench_with_tracks(pedal, throttle);
                const std::string track = ".track" + std::to_string(k);
                EXPECT_EQ(refused(b, {.where = "pedal" + track, .what = "offset"}).empty(), k <= pedal)
                    << pedal << track;
                EXPECT_EQ(refused(b, {.where = "throttle" + track, .what = "frozen"}).empty(), k <= throttle) << track;
            }
    EXPECT_EQ(refused(bench_with_tracks(2, 3), {.where = "pedal.track3", .what = "lag"}), "faults[1].where");
}

TEST(FaultChecks, ABrakeFaultNeedsABrake) {
    const fault::Fault f{.where = "brake", .what = "scale", .amount = 0.5};
    EXPECT_EQ(refused({}, f), "faults[1].where");
    EXPECT_EQ(refused({}, f, true), "");
}

TEST(FaultChecks, AFaultMustStartBeforeTheRunEnds) {
    fault::Fault f{.where = "supply", .what = "scale", .amount = 0.9};
    f.from = milliseconds(2000) - Time{1};
    EXPECT_EQ(refused({}, f, false, 2.0), "");
    f.from = milliseconds(2000);
    EXPECT_EQ(refused({}, f, false, 2.0), "faults[1].from");
    f.from = milliseconds(2000) + Time{1};
    EXPECT_EQ(refused({}, f, false, 2.0), "faults[1].from");
    EXPECT_EQ(refused({}, f), "") << "the length of the run is not known yet";
}

TEST(FaultChecks, ARunRefusesThemToo) {
    SessionOptions late;
    late.faults = fault::Schedule({{.where = "supply", .what = "scale", .from = milliseconds(20), .amount = 0.9}});
    EXPECT_THROW((void)run({}, Stroke::rest(0.02), {}, late), InvalidParameter);
    EXPECT_EQ(run({}, Stroke::rest(0.021), {}, late).outcome.status, Status::completed);
}

TEST(FaultChecks, ARecordHasAtMostFourMillionRows) {
    BenchParameters b;
    EXPECT_NO_THROW(check_length(b, most_rows * b.record_period));
    EXPECT_THROW(check_length(b, std::nextafter(most_rows * b.record_period, 1e9)), InvalidParameter);
    b.record_period = 0.01;
    EXPECT_NO_THROW(check_length(b, 10 * most_rows * 1e-3));
}

}  // namespace
