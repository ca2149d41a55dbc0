// SPDX-License-Identifier: BSD-3-Clause
// A motor that warms up, on the bench.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "twintrack/bench/exact_solver.hpp"
#include "twintrack/bench/run.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *learn(BenchParameters{}).result.range;
    return range;
}

// Law: electrical energy in = heat in winding and housing + mechanical energy kept; the heat warms the nodes or leaves
// for the surroundings. Over a run that swings the blade and leans on the stop, resistance and torque following.
TEST(Heat, ThePowerBalanceCloses) {
    plant::BodyMechanics body;
    body.motor.brush_drop = 0.4;
    const plant::ThermalParameters p{.winding_capacity = 2.0, .housing_capacity = 10.0};
    ExactSolver engine(plant::coefficients(body), {.relative_tolerance = 1e-9, .absolute_tolerance = 1e-11});
    plant::State<double> x{0.0, body.springs.rest_angle, 0.0, 0.0};
    plant::HeatState heat{20.0, 20.0};
    plant::HeatBooks books;
    EnergyLedger whole;
    const double begun = plant::energies(plant::coefficients(body), x).total();
    plant::BodyMechanics now = body;
    for (int tick = 0; tick < 20000; ++tick) {
        now.motor = plant::at_temperature(body.motor, p, heat);
        engine.set_coefficients(plant::coefficients(now));
        const double duty = tick % 4000 < 2000 ? 0.5 : 0.1;
        EnergyLedger e;
        ASSERT_FALSE(engine.advance(x, {plant::terminal({}, plant::BridgeMode::drive, duty, 13.5)}, 0.001, &e));
        heat = plant::warmed(p, heat, e.copper, e.brushes + e.friction + e.stops, 0.001, &books);
        whole.supplied += e.supplied, whole.copper += e.copper, whole.brushes += e.brushes;
        whole.friction += e.friction, whole.stops += e.stops;
    }
    const double kept = plant::energies(plant::coefficients(now), x).total() - begun;
    const double stored = p.winding_capacity * (heat.winding - 20.0) + p.housing_capacity * (heat.housing - 20.0);
    EXPECT_GT(heat.winding, 50.0) << "or the balance says little";
    EXPECT_NEAR(whole.supplied - kept, books.taken, 1e-6 * whole.supplied);
    EXPECT_NEAR(stored + books.given, books.taken, 1e-6 * whole.supplied);
}

/// 3 V on the motor and nothing that takes it away.
bench::Run leaning(const plant::ThermalParameters& heat, double duration) {
    BenchParameters p;
    p.wiring.kind = WiringKind::ideal;
    p.bridge = {.switch_resistance = 0.0, .supply_resistance = 0.0};
    p.supply = 12.0;
    p.monitor = monitor::unwatched();
    p.body.thermal = heat;
    p.record_period = 0.1;
    const auto constant = [](const control::Input&) {
        return control::Command{.mode = plant::BridgeMode::drive, .duty = 0.25};
    };
    return run(p, Stroke::rest(duration), {}, {.controller = constant});
}

// By hand: T − 25 = 10 K/W · (3 V)² / (1.8 Ω (1 + 0.00393 (T − 20))); with y = T − 20,
// 0.00393 y² + 0.98035 y − 55 = 0, y = 47.18.
TEST(Heat, ASteadyStallTemperature) {
    const auto r = leaning({.winding_capacity = 1.0, .housing_capacity = 2.0}, 200.0);
    EXPECT_NEAR(r.record.column("winding.temperature").back(), 67.18, 0.02);
    EXPECT_NEAR(r.record.column("motor.current").back(), 3.0 / (1.8 * (1.0 + 0.00393 * 47.18)), 1e-3);
    const double watts = 9.0 / (1.8 * (1.0 + 0.00393 * 47.18));
    EXPECT_NEAR(r.record.column("housing.temperature").back(), 25.0 + 6.0 * watts, 0.02);
}

/// The blade is blocked a little short of open, too little for the deviation to be checked; the foot stays down.
/// Without the check of a blocked motor, which is quicker than any heat (stall_test.cpp).
bench::Run blocked(BenchParameters p, double duration) {
    p.monitor.motion.blocked.enabled = false;
    p.record_period = 0.01;
    p.body.thermal.emplace();
    return run(p, Stroke({0.0, 1.0, 2.0, duration}, {0.0, 0.0, 1.0, 1.0}), {},
               {.learned = learned(),
                .faults = fault::Schedule({{.where = "body.open_stop", .what = "shift", .amount = -0.09}})});
}

TEST(Heat, TheCodeComesBeforeTheSmoke) {
    const BenchParameters p;
    const auto r = blocked(p, 120.0);
    const auto winding = r.record.column("winding.temperature");
    const plant::ThermalParameters limits;
    ASSERT_FALSE(r.codes.empty());
    EXPECT_EQ(r.codes.front().text(), "P2118-4B");
    const double when = seconds(r.codes.front().confirmed);
    EXPECT_GT(when, 5.0);
    EXPECT_LT(winding[static_cast<std::size_t>(when / 0.01)], limits.winding_limit - 5.0);
    EXPECT_LT(*std::max_element(winding.begin(), winding.end()), limits.winding_limit);
    EXPECT_GT(*std::max_element(winding.begin(), winding.end()), limits.derate_from - 10.0);
}

TEST(Heat, TheCurrentIsTakenBackEvenWhenNobodyWatches) {
    BenchParameters p;
    p.monitor = monitor::unwatched();
    const auto r = blocked(p, 300.0);
    const auto winding = r.record.column("winding.temperature"), current = r.record.column("motor.current");
    EXPECT_LT(*std::max_element(winding.begin(), winding.end()), plant::ThermalParameters{}.winding_limit);
    EXPECT_GT(current[500], 1.5 * current.back());
}

TEST(Heat, WithoutAThermalMotorThereAreNoTemperatures) {
    const auto r = run({}, Stroke::rest(0.1), {}, {.learned = learned()});
    for (const Signal& s : r.record.signals()) EXPECT_EQ(s.name.find("temperature"), std::string::npos);
}

}  // namespace
