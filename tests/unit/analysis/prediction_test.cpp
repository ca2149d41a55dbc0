// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/analysis/prediction.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "support/bodies.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/lanes/replay.hpp"

namespace {

using namespace twintrack;
using analysis::Excitation;

/// Steps of voltage that drive the blade up and down between the stops.
std::vector<double> stairs() {
    std::vector<double> u(3000, 0.0);
    for (std::size_t k = 100; k < u.size(); ++k)
        u[k] = 3.2 * std::sin(0.004 * double(k)) + ((k / 150) % 2 ? 1.5 : -0.5);
    return u;
}

plant::BodyMechanics body() {
    plant::BodyMechanics b;
    b.springs.rest_angle = 0.13;
    return b;
}

analysis::Prediction run(const plant::BodyMechanics& b, const std::vector<double>& u,
                         const std::vector<std::string>& by = {}, analysis::LogValues log = {.start_angle = 0.13}) {
    return analysis::predict(b, log, Excitation{.voltage = u, .resistance = 0.05}, {}, by);
}

// The same steps as a replay in lanes, which lanes_tests hold against the exact solver.
TEST(Predict, IsTheLanesBody) {
    const std::vector<double> u = stairs();
    std::vector<lanes::DutySample> played;
    for (const double v : u) played.push_back({plant::BridgeMode::drive, v / 20.0});
    const plant::BridgeParameters bridge{.switch_resistance = 0.025, .supply_resistance = 0.0, .current_limit = 100.0};
    const auto angles = lanes::replay(body(), bridge, 20.0, played, milliseconds(1), 2e-4);
    const auto p = run(body(), u);
    for (std::size_t k = 0; k < u.size(); ++k) ASSERT_NEAR(p.angle[k], angles[k], 1e-12) << k;
}

TEST(Predict, DualsCarryTheSameNumbers) {
    const auto u = stairs();
    const auto plain = run(body(), u), dual = run(body(), u, {"inertia", "friction.coulomb"});
    for (std::size_t k = 0; k < u.size(); ++k) ASSERT_NEAR(dual.angle[k], plain.angle[k], 1e-12);
    EXPECT_EQ(dual.by_angle.size(), 2 * u.size());
}

TEST(Predict, StaysNearTheTestStand) {
    const auto u = stairs();
    const auto p = run(body(), u);
    const auto stand = analysis::on_test_stand(body(), {.voltage = u, .resistance = 0.05});
    double square = 0.0;
    for (std::size_t k = 0; k < u.size(); ++k) square += std::pow(p.angle[k] - stand.angle[k], 2);
    EXPECT_LT(std::sqrt(square / double(u.size())), 3e-4) << "rad rms; this project's own goal";
}

TEST(Predict, IsLedByWhatWasMeasured) {
    const auto u = stairs();
    const auto truth = run(body(), u);
    plant::BodyMechanics wrong = body();
    wrong.friction.coulomb *= 1.2;
    const auto off = [&](const analysis::Prediction& p) {
        double most = 0.0;
        for (std::size_t k = 0; k < u.size(); ++k) most = std::max(most, std::fabs(p.angle[k] - truth.angle[k]));
        return most;
    };
    const Excitation e{.voltage = u, .resistance = 0.05};
    std::vector<double> seen = truth.angle;
    seen[7] = std::numeric_limits<double>::quiet_NaN();  // a gap is passed over
    const auto led = analysis::predict(wrong, {.start_angle = 0.13}, e, {seen, 0.3, 30.0}, {});
    EXPECT_LT(off(led), 0.3 * off(run(wrong, u)));
}

TEST(Predict, RefusesWhatItDoesNotKnow) {
    EXPECT_THROW((void)run(body(), {}), InvalidParameter);
    EXPECT_THROW((void)run(body(), {std::nan("")}), InvalidParameter);
    EXPECT_THROW((void)run(body(), {1.0}, {"motor.gear_ratio"}), InvalidParameter);
    EXPECT_THROW((void)run(body(), {1.0}, {}, {.angle_delay = 0.5}), InvalidParameter);
    EXPECT_THROW((void)run(support::with_simple_friction(body()), {1.0}), InvalidParameter);
}

}  // namespace
