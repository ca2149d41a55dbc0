// SPDX-License-Identifier: BSD-3-Clause
// All figures are this bench's own.
#include "twintrack/monitor/function_monitor.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

constexpr Time tick = milliseconds(1);
using Counts = FunctionMonitor::Counts;

FunctionMonitorCalibration ends() {
    FunctionMonitorCalibration e;
    e.pedal = {{{600, 3400}, {300, 1700}}};
    e.throttle = {{{500, 3700}, {3700, 500}}};
    for (int i = 0; i <= 16; ++i) e.allowed.push_back(1000 * i / 16);
    return e;
}

Counts at(const FunctionMonitorCalibration::Tracks& tracks, double share) {
    Counts n{};
    for (std::size_t k = 0; k < n.size(); ++k)
        n[k] = tracks[k].closed + static_cast<std::int32_t>(share * (tracks[k].open - tracks[k].closed));
    return n;
}

FunctionMonitor make(FunctionMonitorParameters p = {}) { return {p, ends(), tick}; }

/// Ticks until it trips; −1: never.
int trips(FunctionMonitor& w, double pedal, double blade, double current = 1.0, int most = 5000) {
    const auto e = ends();
    for (int n = 0; n < most; ++n)
        if (!w.step(at(e.pedal, pedal), at(e.throttle, blade), current, true)) return n;
    return -1;
}

TEST(FunctionMonitor, IsContentWhileTheBladeFollowsTheFoot) {
    FunctionMonitor w = make();
    for (int k = 0; k <= 100; ++k) EXPECT_EQ(trips(w, 0.01 * k, 0.01 * k, 1.0, 50), -1);
    EXPECT_EQ(trips(w, 1.0, 0.0), -1) << "less open than asked is none of its business";
}

TEST(FunctionMonitor, ABladeThatNobodyAskedFor) {
    FunctionMonitor w = make();
    EXPECT_EQ(trips(w, 0.0, 0.29), -1) << "idle and margin";
    EXPECT_EQ(trips(w, 0.0, 0.31), 201) << "longer than 200 ms";
    EXPECT_EQ(w.reason(), FunctionMonitor::Reason::opening);
    EXPECT_EQ(trips(w, 0.0, 0.0), 0) << "it stays tripped";
}

TEST(FunctionMonitor, TheBladeMayFollowTheFootDown) {
    FunctionMonitor w = make();
    EXPECT_EQ(trips(w, 0.9, 0.9, 1.0, 1000), -1);
    EXPECT_EQ(trips(w, 0.0, 0.9), 301 + 200) << "300 ms of lag, then its time";
}

TEST(FunctionMonitor, TheLowerPedalTrackAndTheHigherThrottleTrackCount) {
    const auto e = ends();
    FunctionMonitor w = make({.apart = 1.0});
    Counts pedal = at(e.pedal, 0.8), blade = at(e.throttle, 0.2);
    pedal[1] = at(e.pedal, 0.1)[1];
    blade[1] = at(e.throttle, 0.8)[1];
    int n = 0;
    while (n < 1000 && w.step(pedal, blade, 0.0, true)) ++n;
    EXPECT_EQ(n, 201);
}

TEST(FunctionMonitor, TracksApartAndTooMuchCurrent) {
    const auto e = ends();
    FunctionMonitor w = make();
    Counts blade = at(e.throttle, 0.3);
    blade[1] = at(e.throttle, 0.1)[1];
    for (int n = 0; n <= 200; ++n) ASSERT_TRUE(w.step(at(e.pedal, 0.5), blade, 0.0, true)) << n;
    EXPECT_FALSE(w.step(at(e.pedal, 0.5), blade, 0.0, true));
    EXPECT_EQ(w.reason(), FunctionMonitor::Reason::tracks);
    FunctionMonitor current = make();
    EXPECT_EQ(trips(current, 0.5, 0.5, -11.5), 201);
    EXPECT_EQ(current.reason(), FunctionMonitor::Reason::current);
}

FunctionMonitorCalibration banded() {
    FunctionMonitorCalibration e = ends();
    e.lowest = 164, e.highest = 3931;  // 4 … 96 % of 12 bits
    e.limited = 300;
    return e;
}

int ticks_of(FunctionMonitor& w, const Counts& pedal, const Counts& blade, int most = 3000) {
    for (int n = 0; n < most; ++n)
        if (!w.step(pedal, blade, 1.0, true)) return n;
    return -1;
}

TEST(FunctionMonitor, ALostTrackLeavesTheOthersWithTheDemandOfALimpHome) {
    const auto e = banded();
    for (const bool at_pedal : {true, false}) {
        for (const std::size_t lost : {0u, 1u}) {
            for (const std::int32_t rail : {0, 4095}) {
                Counts pedal = at(e.pedal, 1.0), open = at(e.throttle, 0.44), beyond = at(e.throttle, 0.46);
                for (Counts* n : {&open, &beyond})
                    if (!at_pedal) (*n)[lost] = rail;
                if (at_pedal) pedal[lost] = rail;
                FunctionMonitor calm({}, e, tick), trips({}, e, tick);
                EXPECT_EQ(ticks_of(calm, pedal, open), -1) << "30 % and the margin";
                EXPECT_EQ(ticks_of(trips, pedal, beyond), 201) << "its 200 ms";
                EXPECT_EQ(trips.reason(), FunctionMonitor::Reason::opening);
            }
        }
    }
}

TEST(FunctionMonitor, WithoutATrackThereIsNothingButIdleOrNothingAtAll) {
    const auto e = banded();
    FunctionMonitor foot({}, e, tick), foot_open({}, e, tick), blade({}, e, tick);
    EXPECT_EQ(ticks_of(foot, {0, 0, 0}, at(e.throttle, 0.29)), -1);
    EXPECT_EQ(ticks_of(foot_open, {0, 4095, 0}, at(e.throttle, 0.31)), 201);
    EXPECT_EQ(ticks_of(blade, at(e.pedal, 0.5), {0, 0, 0}), 201);
    EXPECT_EQ(blade.reason(), FunctionMonitor::Reason::tracks);
}

TEST(FunctionMonitor, PedalTracksApartTripItUnlessTheSmallerCounts) {
    const auto e = banded();
    Counts pedal = at(e.pedal, 0.8);
    pedal[1] = at(e.pedal, 0.6)[1];
    FunctionMonitor strict({}, e, tick), lowest({.lowest_pedal = true}, e, tick), open({.lowest_pedal = true}, e, tick);
    EXPECT_EQ(ticks_of(strict, pedal, at(e.throttle, 0.3)), 201);
    EXPECT_EQ(strict.reason(), FunctionMonitor::Reason::tracks);
    EXPECT_EQ(ticks_of(lowest, pedal, at(e.throttle, 0.44)), -1);
    EXPECT_EQ(ticks_of(open, pedal, at(e.throttle, 0.46)), 201) << "limited";
    Counts blade = at(e.throttle, 0.3);
    blade[1] = at(e.throttle, 0.1)[1];
    FunctionMonitor body({.lowest_pedal = true}, e, tick);
    EXPECT_EQ(ticks_of(body, at(e.pedal, 0.5), blade), 201) << "of the blade's tracks none is safer";
}

TEST(FunctionMonitor, OfThreeTracksTwoThatAgreeGoOn) {
    FunctionMonitorCalibration e = banded();
    e.throttle[2] = {500, 2100};
    e.throttle_tracks = 3;
    for (const std::size_t wrong : {0u, 1u, 2u}) {
        Counts blade = at(e.throttle, 0.2);
        blade[wrong] = at(e.throttle, 0.8)[wrong];
        FunctionMonitor w({}, e, tick);
        EXPECT_EQ(ticks_of(w, at(e.pedal, 0.5), blade), -1) << wrong;
        FunctionMonitor open({}, e, tick);
        Counts beyond = at(e.throttle, 0.5);
        beyond[wrong] = at(e.throttle, 0.9)[wrong];
        EXPECT_EQ(ticks_of(open, at(e.pedal, 0.5), beyond), 201) << "limited: " << wrong;
    }
    FunctionMonitor none({}, e, tick);
    const Counts all_apart{at(e.throttle, 0.2)[0], at(e.throttle, 0.5)[1], at(e.throttle, 0.8)[2]};
    EXPECT_EQ(ticks_of(none, at(e.pedal, 1.0), all_apart), 201);
}

TEST(FunctionMonitor, ACurvedTrackByItselfIsReadAlongItsCurve) {
    FunctionMonitorCalibration e = banded();
    e.throttle[1] = {300, 3700, false, {}};
    for (std::size_t k = 0; k < FunctionMonitorCalibration::knots; ++k)  // a knee at half travel
        e.throttle[1].curve[k] = std::min<std::int32_t>(300 + 425 * static_cast<std::int32_t>(k), 3700);
    const auto knee = [](double share) { return static_cast<std::int32_t>(300 + 6800 * std::min(share, 0.5)); };
    FunctionMonitor calm({}, e, tick), open({}, e, tick);
    EXPECT_EQ(ticks_of(calm, at(e.pedal, 1.0), {0, knee(0.44), 0}), -1);
    EXPECT_EQ(ticks_of(open, at(e.pedal, 1.0), {0, knee(0.46), 0}), 201);
}

TEST(FunctionMonitor, SaysWhenTheMotorRunsOnWithoutItsPower) {
    const auto e = ends();
    FunctionMonitor w = make();
    for (int n = 0; n <= 200; ++n) w.step(at(e.pedal, 0.5), at(e.throttle, 0.5), 1.0, false);
    EXPECT_FALSE(w.runs_on());
    w.step(at(e.pedal, 0.5), at(e.throttle, 0.5), 1.0, false);
    EXPECT_TRUE(w.runs_on());
    EXPECT_FALSE(w.tripped());
}

TEST(FunctionMonitor, RefusesWhatItCannotWorkWith) {
    support::expect_every_field_guarded<FunctionMonitorParameters>();
    FunctionMonitorCalibration flat = ends(), short_map = ends();
    flat.pedal[1] = {700, 700};
    short_map.allowed.pop_back();
    EXPECT_THROW(FunctionMonitor({}, flat, tick), InvalidParameter);
    EXPECT_THROW(FunctionMonitor({.band_low = 0.5, .band_high = 0.5}, ends(), tick), InvalidParameter);
    EXPECT_THROW(FunctionMonitor({}, short_map, tick), InvalidParameter);
    EXPECT_THROW(FunctionMonitor({}, ends(), Time{0}), InvalidParameter);
}

// What it was not asked for while nothing was wrong, it is told of the foot.
TEST(FunctionMonitor, GoesOnAfterTicksThatItIsToldOf) {
    const auto e = ends();
    for (const int slept : {1, 40, 299, 301, 900}) {
        FunctionMonitor asked = make(), told = make();
        for (FunctionMonitor* w : {&asked, &told}) EXPECT_EQ(trips(*w, 0.9, 0.9, 1.0, 400), -1);
        std::vector<Counts> pedal;
        for (int n = 0; n < slept; ++n) pedal.push_back(at(e.pedal, n < 20 ? 0.9 : 0.3));
        for (const Counts& n : pedal) EXPECT_TRUE(asked.step(n, at(e.throttle, 0.3), 1.0, true));
        if (pedal.size() > told.looks_back())
            pedal.erase(pedal.begin(), pedal.end() - static_cast<std::ptrdiff_t>(told.looks_back()));
        ASSERT_TRUE(told.settled());
        told.pass(pedal);
        EXPECT_EQ(trips(asked, 0.0, 0.6), trips(told, 0.0, 0.6)) << slept;
    }
}

}  // namespace
