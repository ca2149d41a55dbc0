// SPDX-License-Identifier: BSD-3-Clause
// A limp-home on the tracks that are left lasts, and what ends one is told. Thresholds and times are this bench's own.
#include <gtest/gtest.h>

#include <algorithm>

#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;
using fault::Fault;
using monitor::Reaction;

BenchParameters graded(std::size_t tracks = 2) {
    BenchParameters p;
    p.monitor = monitor::graded();
    p.record_period = 0.01;
    if (tracks == 2) return p;
    for (auto* list : {&p.pedal.tracks, &p.body.tracks}) {
        list->push_back((*list)[0]);
        list->back().ratio = {0.2, 0.6};
    }
    return p;
}

control::LearnedRange learned(const BenchParameters& p) { return *learn(p).result.range; }

Stroke foot(double travel, double until) { return Stroke({0.0, 0.5, 1.0, until}, {0.0, 0.0, travel, travel}); }

std::vector<Fault> single_losses(std::size_t tracks) {
    std::vector<Fault> all;
    for (const std::string side : {"pedal", "throttle"})
        for (std::size_t k = 1; k <= tracks; ++k)
            for (const char* what : {"open", "short_to_ground", "short_to_battery"})
                all.push_back({.where = side + " signal " + std::to_string(k),
                               .what = what,
                               .from = milliseconds(2000),
                               .amount = std::string(what) == "open" ? 0.0 : 0.05});
    return all;
}

std::string history(const bench::Run& r) {
    std::string all;
    for (const auto& e : r.history.entries())
        if (e.count > 0) all += e.code.text() + " ";
    return all;
}

void expect_limited(const bench::Run& r, const std::string& what) {
    EXPECT_EQ(r.record.column("reaction").back(), static_cast<double>(Reaction::limited)) << what << ": " << history(r);
    EXPECT_EQ(r.record.column("function_monitor.tripped").back(), 0.0) << what;
    EXPECT_LT(r.record.column("blade.opening").back(), 0.32) << what << ": the ladder permits 30 %";
}

TEST(LimpHome, AnySingleLostTrackIsDrivenLimited) {
    for (const std::size_t tracks : {2u, 3u}) {
        const BenchParameters p = graded(tracks);
        const auto range = learned(p);
        for (const Fault& f : single_losses(tracks)) {
            for (const double travel : {0.0, 0.25, 1.0}) {
                const auto r = run(p, foot(travel, 6.0), {}, {.learned = range, .faults = fault::Schedule({f})});
                expect_limited(r, f.where + " " + f.what + " at " + std::to_string(travel));
            }
        }
    }
}

TEST(LimpHome, LastsTenMinutes) {
    const BenchParameters p = graded();
    const auto range = learned(p);
    const double end = 600.0;
    for (const char* where : {"pedal signal 2", "throttle signal 1"}) {
        const Stroke drive({0.0, 1.0, 3.0, 100.0, 101.0, 300.0, 301.0, end}, {0.0, 0.0, 1.0, 1.0, 0.1, 0.1, 0.6, 0.6});
        const auto r = run(p, drive, {},
                           {.learned = range,
                            .faults = fault::Schedule({{.where = where, .what = "open", .from = milliseconds(2000)}})});
        expect_limited(r, where);
        const auto reaction = r.record.column("reaction");
        EXPECT_EQ(*std::max_element(reaction.begin(), reaction.end()), 1.0) << where;
    }
}

/// A second fault ends it, and record and history say which.
TEST(LimpHome, WhatEndsItIsToldInRecordAndHistory) {
    BenchParameters p = graded();
    p.monitor.correlation.enabled = false;  // the function monitor alone objects
    const auto range = learned(p);
    const auto r =
        run(p, foot(0.2, 6.0), {},
            {.learned = range,
             .faults = fault::Schedule(
                 {{.where = "pedal signal 2", .what = "open", .from = milliseconds(2000)},
                  {.where = "throttle.track2", .what = "offset", .from = milliseconds(3000), .amount = 0.19}})});
    EXPECT_EQ(r.record.column("reaction").back(), static_cast<double>(Reaction::motor_off));
    EXPECT_EQ(r.record.column("function_monitor.reason").back(),
              static_cast<double>(monitor::FunctionMonitor::Reason::tracks));
    EXPECT_NE(history(r).find("function monitor: tracks"), std::string::npos) << history(r);
    for (const auto& c : r.codes) EXPECT_FALSE(c.failure_type.empty()) << "an event is no trouble code: " << c.text();
    const auto& entries = r.history.entries();
    const auto told = std::find_if(entries.begin(), entries.end(),
                                   [](const auto& e) { return e.code.code == "function monitor: tracks"; });
    ASSERT_TRUE(told->frame.has_value());
    EXPECT_NEAR(seconds(told->code.confirmed), 3.2, 0.01) << "its 200 ms";
    EXPECT_EQ(told->count, 1);
}

}  // namespace
