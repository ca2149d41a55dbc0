// SPDX-License-Identifier: BSD-3-Clause
// The books of the engine: air, heat of the manifold's gas, work at the crank, fuel. What crossed a border is still
// behind it. Analytic; the flows of a step are summed by the trapezoid rule, which is of the integration's own order,
// so that the books are as good as the step is short and four times better with half of it.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/draw.hpp"
#include "twintrack/engine/engine.hpp"
#include "twintrack/engine/examples.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::engine;

/// Everything that crosses the engine's borders.
struct Books {
    double air_in = 0.0, air_leaked = 0.0, air_out = 0.0;  // [kg]
    double heat_in = 0.0, heat_out = 0.0;                  // [J] enthalpy and wall heat into and out of the manifold
    double work_in = 0.0, work_out = 0.0;                  // [J] at the crank
    double fuel = 0.0;                                     // [kg] burnt
};

/// What is behind the borders.
struct Kept {
    double air, heat, motion;
};

Kept kept(const EngineParameters& p, const Engine& e) {
    const State<double>& x = e.state();
    const double air = x.pressure * p.manifold.volume / (plant::gas_constant * x.temperature);
    return {air, air * cv * x.temperature, 0.5 * p.rotation.inertia * x.speed * x.speed};
}

void add_manifold(Books& b, const EngineParameters& p, const Drive<double>& d, const Flows<double>& f,
                  const State<double>& x, double half) {
    b.air_in += half * f.in;
    b.air_leaked += half * f.in * d.leak / (d.area + d.leak);
    b.air_out += half * f.charge * x.speed;
    b.heat_in +=
        half * (cp * f.in * d.air.temperature + p.manifold.wall_conductance * (p.manifold.temperature - x.temperature));
    b.heat_out += half * cp * f.charge * x.speed * x.temperature;
}

void add_crank(Books& b, const Drive<double>& d, const Torques<double>& t, const State<double>& x, double half) {
    b.work_in += half * (t.indicated + t.starter) * x.speed;
    b.work_out -= half * (t.pumping + t.friction + t.accessory + t.generator) * x.speed;
    b.fuel += half * d.fuel * x.speed;
}

/// Half a minute of an engine's life, the same at every step: start, any opening from closed to wide, loads, spark, a
/// leak, fuel cuts.
std::vector<Input> life(std::uint32_t seed) {
    support::Draw draw(seed);
    std::vector<Input> pieces;
    for (int k = 0; k < 60; ++k) {
        Input in;
        in.area = 5e-6 * std::exp2(draw.uniform(0.0, 6.0));
        in.leak_area = std::max(draw.uniform(-20e-6, 20e-6), 0.0);
        in.spark_retard = draw.uniform(0.0, 0.6);
        in.accessory_torque = draw.uniform(0.0, 6.0);
        in.electrical_power = draw.uniform(0.0, 600.0);
        in.coolant = draw.uniform(-20.0, 90.0);
        in.starter = k < 4 || draw.uniform(0.0, 1.0) < 0.3;
        in.fuel = k < 4 || draw.uniform(0.0, 1.0) < 0.8;
        pieces.push_back(in);
    }
    return pieces;
}

struct Balance {
    double air = 0.0, heat = 0.0, work = 0.0, without_leak = 0.0;  // worst gap [share of what has crossed]
};

Balance balance(const EngineParameters& p, std::uint32_t seed, double step) {
    Engine e(p, {});
    Books b;
    const Kept start = kept(p, e);
    Balance worst;
    for (const Input& in : life(seed)) {
        for (int n = 0; n < static_cast<int>(std::lround(0.5 / step)); ++n) {
            const State<double> before = e.state();
            e.step(in, step);
            const Drive<double>& d = e.drive();
            add_manifold(b, p, d, flows(e.model(), d, before), before, 0.5 * step);
            add_manifold(b, p, d, e.present_flows(), e.state(), 0.5 * step);
            add_crank(b, d, torques(e.model(), d, before), before, 0.5 * step);
            add_crank(b, d, e.present_torques(), e.state(), 0.5 * step);
        }
        const Kept now = kept(p, e);
        const auto share = [](double gap, double crossed) { return std::fabs(gap) / crossed; };
        worst.air = std::max(worst.air, share(now.air - start.air - b.air_in + b.air_out, b.air_in + start.air));
        worst.heat =
            std::max(worst.heat, share(now.heat - start.heat - b.heat_in + b.heat_out, b.heat_in + start.heat));
        worst.work = std::max(worst.work, share(now.motion - start.motion - b.work_in + b.work_out, b.work_in));
        worst.without_leak = std::max(
            worst.without_leak, share(now.air - start.air - b.air_in + b.air_leaked + b.air_out, b.air_in + start.air));
    }
    return worst;
}

EngineParameters adiabatic() {
    EngineParameters p;
    p.manifold.kind = ManifoldKind::adiabatic;
    p.manifold.wall_conductance = 2.0;
    return p;
}

struct Named {
    const char* name;
    EngineParameters engine;
};

class EngineBalance : public testing::TestWithParam<Named> {};

TEST_P(EngineBalance, ClosesTheBetterTheShorterTheStep) {
    for (std::uint32_t seed = 1; seed <= 3; ++seed) {
        const Balance usual = balance(GetParam().engine, seed, 1e-3), fine = balance(GetParam().engine, seed, 0.25e-3);
        EXPECT_LT(usual.air, 1e-4) << seed;
        EXPECT_LT(usual.work, 1e-5) << seed;
        EXPECT_LT(fine.air, usual.air / 8.0) << seed;
        EXPECT_LT(fine.work, usual.work / 8.0) << seed;
        if (GetParam().engine.manifold.kind == ManifoldKind::adiabatic) {
            EXPECT_LT(usual.heat, 1e-4) << seed;
            EXPECT_LT(fine.heat, usual.heat / 8.0) << seed;
        }
        EXPECT_GT(usual.without_leak, 0.02) << "books that forget the leak must not close";
    }
}

INSTANTIATE_TEST_SUITE_P(All, EngineBalance,
                         testing::Values(Named{"small", {}}, Named{"adiabatic", adiabatic()},
                                         Named{"large", large_eight().engine}, Named{"course", course_five()}),
                         [](const auto& named) { return std::string(named.param.name); });

/// All fuel that goes in burns one turn later, however the speed changes, and gives the heat that the efficiency says.
TEST(EngineFuel, WhatGoesInBurns) {
    const EngineParameters p;
    Engine e(p, {});
    double written = 0.0, burnt = 0.0;
    std::vector<std::pair<double, double>> drawn{{0.0, 0.0}};  // angle, fuel drawn in until then
    const auto until = [&](double angle) {
        const auto next = std::lower_bound(drawn.begin(), drawn.end(), std::pair{angle, 0.0});
        const auto last = next - 1;
        return last->second + (angle - last->first) / (next->first - last->first) * (next->second - last->second);
    };
    Input in;
    for (int tick = 0; tick < 12000; ++tick) {
        in.starter = tick < 3000;
        in.area = tick < 4000 ? 8e-6 : tick < 6000 ? 40e-6 : 12e-6;
        in.fuel = tick < 8000 || tick >= 8300;
        const State<double> before = e.state();
        const double charge =
            flows(e.model(), Drive<double>{in.area, {101325.0, 288.15}, 0, 1, 1, 0, 0}, before).charge;
        e.step(in, 1e-3);
        if (e.status() != EngineStatus::cranking && e.status() != EngineStatus::running) continue;
        const double turned = e.state().angle - before.angle;
        written += in.fuel ? charge * e.model().cylinders.fuel_per_air * turned : 0.0;
        burnt += e.drive().fuel * turned;
        if (turned > 0.0) drawn.emplace_back(e.state().angle, written);
    }
    ASSERT_EQ(e.status(), EngineStatus::running);
    EXPECT_NEAR(burnt, until(e.state().angle - p.cylinders.delay_angle), 2e-3 * written);
    EXPECT_GT(written - burnt, 2e-3 * written) << "a turn's fuel is under way";
}

}  // namespace
