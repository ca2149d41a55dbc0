// SPDX-License-Identifier: BSD-3-Clause
// Air that is not metered leans the mixture. Expectations follow from the equations (analytic).
#include "twintrack/engine/mixture.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/refusal.hpp"
#include "twintrack/engine/engine.hpp"
#include "twintrack/engine/examples.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::engine;

constexpr double area = 20e-6;  // [m²]

TEST(Mixture, IsNominalWithoutALeakAndWithoutAMeter) {
    Mixture metered({.metered = true}), pressure({});
    for (int k = 0; k < 1000; ++k) {
        EXPECT_EQ(metered.step(area, 0.0, true, 1e-3), 1.0);
        EXPECT_EQ(pressure.step(area, area, true, 1e-3), 1.0);
    }
    EXPECT_EQ(metered.correction(), 0.0);
    EXPECT_EQ(metered.step(0.0, 0.0, true, 1e-3), 1.0) << "no air at all";
}

TEST(Mixture, ALeakLeansItAndTheCorrectionTakesItBack) {
    Mixture m({.metered = true});
    EXPECT_NEAR(m.step(area, 0.1 * area, true, 1e-3), 1.0 / 1.1, 1e-12) << "a lean mixture burns all of its fuel";
    EXPECT_NEAR(m.lambda(), 1.1, 1e-12);
    for (int k = 0; k < 100000; ++k) m.step(area, 0.1 * area, true, 1e-3);
    EXPECT_NEAR(m.lambda(), 1.0, 1e-3);
    EXPECT_NEAR(m.correction(), 0.1, 1e-3);
    EXPECT_NEAR(m.step(area, 0.0, true, 1e-3), 1.0, 1e-12) << "of a rich one no more burns than there is air for";
    EXPECT_NEAR(m.lambda(), 1.0 / 1.1, 1e-3);
}

/// First order: 1 − s(1 + c) decays with T/s.
TEST(Mixture, TheCorrectionHasItsTimeConstant) {
    Mixture m({.metered = true});
    const double s = 1.0 / 1.1;
    for (int k = 0; k < 10000; ++k) m.step(area, 0.1 * area, true, 1e-3);
    EXPECT_NEAR(m.correction(), (1.0 / s - 1.0) * (1.0 - std::exp(-s * 10.0 / 10.0)), 1e-4);
    const double before = m.correction();
    for (int k = 0; k < 1000; ++k) m.step(area, 0.1 * area, false, 1e-3);
    EXPECT_EQ(m.correction(), before) << "it waits while the engine does not run";
}

TEST(Mixture, BeyondTheLeanLimitCyclesMisfire) {
    Mixture m({.metered = true, .most_correction = 0.0});
    EXPECT_NEAR(m.step(area, 0.4 * area, true, 1e-3), 1.0 / 1.4, 1e-12);
    EXPECT_NEAR(m.step(area, 0.6 * area, true, 1e-3), 0.5 / 1.6, 1e-12) << "half of them, midway";
    EXPECT_EQ(m.step(area, 0.8 * area, true, 1e-3), 0.0);
    EXPECT_EQ(m.step(0.0, area, true, 1e-3), 0.0);
}

TEST(Mixture, RefusesWhatItCannotBe) {
    support::expect_every_field_guarded<MixtureParameters>();
    EXPECT_THROW(validate(MixtureParameters{.lean_limit = 1.8, .misfire = 1.8}, "mixture"), InvalidParameter);
}

/// Torque is proportional to the fuel (equations of model.hpp).
TEST(Mixture, LessFuelIsLessTorque) {
    const auto torque = [](double mixture) {
        const EngineExample four = small_four();
        Engine e(four.engine, {101325.0, 293.0});
        for (int k = 0; k < 3000; ++k) e.step({.area = 60e-6, .starter = k < 1500, .mixture = 1.0}, 1e-3);
        for (int k = 0; k < 200; ++k) e.step({.area = 60e-6, .mixture = mixture}, 1e-3);
        return e.present_torques().indicated / e.drive().fuel * mixture;
    };
    EXPECT_NEAR(torque(0.9) / torque(1.0), 0.9, 0.02);
}

}  // namespace
