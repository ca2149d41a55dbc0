// SPDX-License-Identifier: BSD-3-Clause
// University of Michigan, "Control Tutorials", page "DC Motor Speed" (seen): J 0.01, b 0.1, K 0.01, R 1, L 0.5; 1 V
// gives 0.1 rad/s, settling in 2.07 s, poles near −2 and −10. The further digits are computed from the transfer
// function 0.01/(0.005 s² + 0.06 s + 0.1001) of that page.
#include <gtest/gtest.h>

#include "eigenvalues.hpp"
#include "support/dual.hpp"
#include "support/integrate.hpp"

namespace {

using namespace twintrack::plant;

/// The motor alone: no springs, stops out of reach, viscous friction only.
BodyMechanics motor_on_a_bench() {
    BodyMechanics b;
    b.inertia = 0.01;
    b.motor = {.resistance = 1.0, .inductance = 0.5, .constant = 0.01, .gear_ratio = 1.0};
    b.springs = {.rest_angle = 0.0, .open_preload = 0.0, .open_rate = 0.0, .close_preload = 0.0, .close_rate = 0.0};
    b.friction = {.kind = FrictionKind::simple, .coulomb = 0.0, .breakaway = 0.0, .viscous = 0.1};
    b.stops = {.closed_angle = -1e3, .open_angle = 1e3};
    return b;
}

Drive<double> one_volt() {
    const BridgeParameters ideal{.switch_resistance = 0.0, .supply_resistance = 0.0, .current_limit = 100.0};
    return {terminal(ideal, BridgeMode::drive, 1.0, 1.0)};
}

TEST(MichiganMotor, Poles) {
    const auto c = support::lift(coefficients(motor_on_a_bench()));
    const auto f = derivatives(c, support::lift(one_volt()), support::seed({0.1, 0.0, 0.1, 0.0}));
    std::vector<std::complex<double>> poles =
        support::eigenvalues({{f.current.slope[0], f.speed.slope[0]}, {f.current.slope[2], f.speed.slope[2]}});
    std::sort(poles.begin(), poles.end(), [](auto a, auto b) { return a.real() < b.real(); });
    EXPECT_NEAR(poles[0].real(), -9.99750, 5e-6);
    EXPECT_NEAR(poles[1].real(), -2.00250, 5e-6);
}

TEST(MichiganMotor, StepResponse) {
    const auto c = coefficients(motor_on_a_bench());
    const auto drive = one_volt();
    const auto system = [&](const std::array<double, 3>& x, std::array<double, 3>& rate, double) {
        const auto f = derivatives(c, drive, {x[0], x[1], x[2], 0.0});
        rate = {f.current, f.angle, f.speed};
    };
    std::array<double, 3> x{};
    double half_second = 0.0, second = 0.0, settled = 0.0;
    constexpr double final_speed = 0.0999001;
    support::integrate(system, x, 0.0, 10.0, 0.001, [&](const auto& now, double t) {
        if (std::fabs(t - 0.5) < 1e-6) half_second = now[2];
        if (std::fabs(t - 1.0) < 1e-6) second = now[2];
        if (std::fabs(now[2] - final_speed) > 0.02 * final_speed) settled = t;
    });
    EXPECT_NEAR(x[2], final_speed, 5e-8);
    EXPECT_NEAR(half_second, 0.054170, 5e-7);
    EXPECT_NEAR(second, 0.083037, 5e-7);
    EXPECT_NEAR(settled, 2.065, 0.002);  // the page: 2.07 s
}

}  // namespace
