// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/engine.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "twintrack/core/error.hpp"
#include "twintrack/engine/engine_step.hpp"
#include "twintrack/engine/examples.hpp"

namespace {

using namespace twintrack::engine;

Input idling() { return {.area = 8e-6, .spark_retard = 0.3, .electrical_power = 200.0}; }

void steps(Engine& engine, const Input& in, int count) {
    for (int k = 0; k < count; ++k) engine.step(in, 1e-3);
}

Engine started() {
    Engine engine(EngineParameters{}, {});
    Input in = idling();
    in.starter = true;
    for (int k = 0; k < 3000 && engine.status() != EngineStatus::running; ++k) engine.step(in, 1e-3);
    return engine;
}

TEST(Engine, StandsUntilTheStarterTurnsIt) {
    Engine engine(EngineParameters{}, {});
    steps(engine, idling(), 1000);
    EXPECT_EQ(engine.status(), EngineStatus::standing);
    EXPECT_EQ(engine.speed(), 0.0);
    EXPECT_NEAR(engine.state().pressure, 101325.0, 1.0);
}

TEST(Engine, CranksFiresAndRuns) {
    Engine engine(EngineParameters{}, {});
    Input in = idling();
    in.starter = true;
    steps(engine, in, 100);
    EXPECT_EQ(engine.status(), EngineStatus::cranking);
    EXPECT_GT(engine.present_torques().starter, 0.0);
    steps(engine, in, 2000);
    EXPECT_EQ(engine.status(), EngineStatus::running);
    EXPECT_EQ(engine.present_torques().starter, 0.0);
    EXPECT_GT(engine.speed(), 45.0);
}

TEST(Engine, WithoutFuelTheStarterTurnsItAndItDoesNotRun) {
    Engine engine(EngineParameters{}, {});
    Input in = idling();
    in.starter = true;
    in.fuel = false;
    steps(engine, in, 3000);
    EXPECT_EQ(engine.status(), EngineStatus::cranking);
    EXPECT_GT(engine.speed(), 15.0);
    EXPECT_LT(engine.speed(), 32.0);
    in.starter = false;
    steps(engine, in, 2000);
    EXPECT_EQ(engine.status(), EngineStatus::standing);
}

TEST(Engine, KeyOffEndsInStandingAndFuelCutInAStall) {
    for (const bool key : {false, true}) {
        Engine engine = started();
        Input in = idling();
        in.ignition = key;
        in.fuel = false;
        steps(engine, in, 5000);
        EXPECT_EQ(engine.status(), key ? EngineStatus::stalled : EngineStatus::standing);
        EXPECT_LT(engine.speed(), 0.1);
    }
}

// The key cuts ignition: what has been drawn in does not burn any more. A fuel cut is felt one turn later.
TEST(Engine, TheKeyStopsCombustionAtOnceAndAFuelCutDoesNot) {
    for (const bool key : {false, true}) {
        Engine engine = started();
        steps(engine, idling(), 5000);
        ASSERT_GT(engine.present_torques().indicated, 5.0);
        Input in = idling();
        in.ignition = key;
        in.fuel = false;
        engine.step(in, 1e-3);
        EXPECT_EQ(engine.status(), EngineStatus::running) << "it still turns";
        if (key)
            EXPECT_GT(engine.present_torques().indicated, 5.0);
        else
            EXPECT_EQ(engine.present_torques().indicated, 0.0);
    }
}

TEST(Engine, StatusChangesOnTheStepItself) {
    using namespace status;
    const StepCoefficients<double> c{40.0, 20.0, 0.0, 0.0, 0.0, 0.0};
    const double below_release = std::nextafter(40.0, 0.0), below_stall = std::nextafter(20.0, 0.0);
    EXPECT_EQ(next(c, standing, 0.0, 1.0, 1.0), cranking);
    EXPECT_EQ(next(c, standing, 0.0, 0.0, 1.0), standing) << "no starter without the key";
    EXPECT_EQ(next(c, standing, 0.0, 1.0, 0.0), standing);
    EXPECT_EQ(next(c, cranking, below_release, 1.0, 1.0), cranking);
    EXPECT_EQ(next(c, cranking, 40.0, 1.0, 1.0), running);
    EXPECT_EQ(next(c, cranking, below_release, 1.0, 0.0), standing);
    EXPECT_EQ(next(c, cranking, below_release, 0.0, 1.0), standing);
    EXPECT_EQ(next(c, running, 20.0, 1.0, 0.0), running);
    EXPECT_EQ(next(c, running, 20.0, 0.0, 0.0), running) << "it turns on, without combustion";
    EXPECT_EQ(next(c, running, below_stall, 1.0, 0.0), stalled);
    EXPECT_EQ(next(c, running, below_stall, 0.0, 0.0), standing);
    EXPECT_EQ(next(c, running, below_stall, 1.0, 1.0), stalled);
    EXPECT_EQ(next(c, stalled, 100.0, 1.0, 0.0), stalled);
    EXPECT_EQ(next(c, stalled, 0.0, 1.0, 1.0), cranking);
}

TEST(Engine, AStalledEngineDoesNotRunAgainByItself) {
    Engine engine = started();
    Input in = idling();
    in.accessory_torque = 80.0;
    steps(engine, in, 3000);
    EXPECT_EQ(engine.status(), EngineStatus::stalled);
    in.accessory_torque = 0.0;
    steps(engine, in, 3000);
    EXPECT_LT(engine.speed(), 0.1);
    in.starter = true;
    steps(engine, in, 2000);
    EXPECT_EQ(engine.status(), EngineStatus::running);
}

// Analytic: the fuel burns one delay angle (here a turn) after the air was drawn in, so a cut is felt after 2π/ω.
TEST(Engine, AFuelCutIsFeltOneTurnLater) {
    Engine engine = started();
    steps(engine, idling(), 20000);
    Input in = idling();
    in.fuel = false;
    const double before = engine.present_torques().indicated;
    const double turn = 2.0 * twintrack::pi / engine.speed();
    int felt = 0;
    while (engine.present_torques().indicated > 0.5 * before) engine.step(in, 1e-3), ++felt;
    EXPECT_NEAR(felt * 1e-3 / turn, 1.0, 0.04);
}

TEST(Engine, ThinAirAtAltitudeGivesLessFlowAtTheSameOpening) {
    const auto high = twintrack::plant::standard_atmosphere(2000.0);
    Engine engine(EngineParameters{}, high);
    Input in = idling();
    in.starter = true;
    steps(engine, in, 100);
    const auto flow = engine.present_flows().in / engine.air().pressure;
    Engine low(EngineParameters{}, {});
    EXPECT_EQ(engine.air().pressure, high.pressure);
    steps(low, in, 100);
    EXPECT_NEAR(flow / (low.present_flows().in / 101325.0), std::sqrt(288.15 / high.temperature), 0.05);
}

TEST(Engine, TheSameInputsGiveTheSameBits) {
    Engine one = started(), two = started();
    steps(one, idling(), 5000);
    steps(two, idling(), 5000);
    EXPECT_EQ(one.speed(), two.speed());
    EXPECT_EQ(one.state().pressure, two.state().pressure);
}

TEST(Engine, RefusesAnImpossibleAtmosphere) {
    EXPECT_THROW(Engine(EngineParameters{}, {.pressure = NAN}), twintrack::InvalidParameter);
    EXPECT_THROW(Engine(EngineParameters{}, {.temperature = 20.0}), twintrack::InvalidParameter);
}

}  // namespace
