// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/lanes/replay.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include "recording.hpp"
#include "support/bodies.hpp"

namespace {

using namespace twintrack;

bench::BenchParameters bench_of(const plant::BodyMechanics& mechanics) {
    bench::BenchParameters p;
    p.body.mechanics = mechanics;
    p.wiring.kind = bench::WiringKind::ideal;
    return p;
}

std::vector<support::Body> bodies() {
    return {{"SetA", support::set_a()}, {"SetB", support::set_b()}, {"Invented", {}}};
}

class Replay : public testing::TestWithParam<support::Body> {};

// The exact solver is run beside it; the limits are this project's own goals.
TEST_P(Replay, KeepsToTheExactSolver) {
    const bench::BenchParameters p = bench_of(GetParam().mechanics);
    const auto played = support::recorded_duties(p);
    const auto exact = support::exact_angles(p, played);
    const auto at = [&](double substep) {
        const auto angles = lanes::replay(p.body.mechanics, p.bridge, p.supply, played, milliseconds(1), substep);
        return support::distance(p.body.mechanics, angles, exact);
    };
    const support::Distance usual = at(2e-4), accurate = at(1e-4);
    EXPECT_GE(usual.impacts, 2);
    EXPECT_LE(usual.elsewhere, 0.01);
    EXPECT_LE(usual.near_stop, 0.04);
    EXPECT_LE(accurate.elsewhere, 0.004);
    EXPECT_LE(accurate.near_stop, 0.02);
    RecordProperty("usual", std::to_string(usual.elsewhere) + " " + std::to_string(usual.near_stop));
    RecordProperty("accurate", std::to_string(accurate.elsewhere) + " " + std::to_string(accurate.near_stop));
}
INSTANTIATE_TEST_SUITE_P(Bodies, Replay, testing::ValuesIn(bodies()), support::name);

// Where nothing bends, halving the step quarters the error.
TEST(ReplayOrder, IsTwo) {
    plant::BodyMechanics body;
    body.stops.closed_angle = -0.2, body.stops.open_angle = 2.0;
    body.springs.open_preload = body.springs.close_preload = 0.0;
    const bench::BenchParameters p = bench_of(body);
    const std::vector<lanes::DutySample> played(150, {plant::BridgeMode::drive, 0.25});
    const auto exact = support::exact_angles(p, played);
    const auto error = [&](double substep) {
        const auto angles = lanes::replay(body, p.bridge, p.supply, played, milliseconds(1), substep);
        return support::distance(body, angles, exact).elsewhere;
    };
    const double coarse = error(2e-4), fine = error(1e-4);
    EXPECT_GT(coarse / fine, 3.0);
    EXPECT_LT(coarse, 0.01);
}

TEST(ReplayModes, ShortedAndOpenBridgeReturnTheBladeAsTheExactSolverDoes) {
    const bench::BenchParameters p = bench_of({});
    for (const auto mode : {plant::BridgeMode::brake, plant::BridgeMode::high_impedance}) {
        std::vector<lanes::DutySample> played(300, {plant::BridgeMode::drive, 0.5});
        played.resize(1200, {mode, 0.0});
        const auto angles = lanes::replay(p.body.mechanics, p.bridge, p.supply, played, milliseconds(1), 2e-4);
        const auto d = support::distance(p.body.mechanics, angles, support::exact_angles(p, played));
        EXPECT_LE(d.elsewhere, 0.04) << name_of(mode);
        EXPECT_LE(d.near_stop, 0.04) << name_of(mode);
    }
}

// 1.1 ohm under 13.5 V reversed at speed asks for more than the bridge's 6 A.
TEST(ReplayLimit, HoldsTheCurrent) {
    bench::BenchParameters p = bench_of({});
    p.bridge.current_limit = 4.0;
    std::vector<lanes::DutySample> played;
    for (int k = 0; k < 1000; ++k) played.push_back({plant::BridgeMode::drive, (k / 60) % 2 == 0 ? 0.6 : -0.4});
    const auto angles = lanes::replay(p.body.mechanics, p.bridge, p.supply, played, milliseconds(1), 1e-4);
    const auto d = support::distance(p.body.mechanics, angles, support::exact_angles(p, played));
    EXPECT_LE(d.elsewhere, 0.1);
}

TEST(ReplayRefuses, WhatItCannotDo) {
    const bench::BenchParameters p;
    const auto with = [&](plant::BodyMechanics body, double substep) {
        return lanes::replay(body, p.bridge, 13.5, {}, milliseconds(1), substep);
    };
    EXPECT_TRUE(with({}, 2e-4).empty());
    EXPECT_THROW((void)with(support::with_simple_friction({}), 2e-4), InvalidParameter);
    EXPECT_THROW((void)with({}, 1e-3), InvalidParameter);
    EXPECT_THROW((void)with({}, NAN), InvalidParameter);
}

}  // namespace
