// SPDX-License-Identifier: BSD-3-Clause
// Throttle parameter sets A (Loh et al. 2013, second-hand) and B (Griffiths 2002, seen): see support/bodies.hpp. The
// expected numbers are computed from those sets with the static line of R. Isermann, "Combustion Engine Diagnosis",
// ch. 7.1.2, eq. 7.1.32 (seen): u = (R/K)(M_S(θ) ± M_C), and from the linear model of the same equations.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <complex>
#include <vector>

#include "eigenvalues.hpp"
#include "support/bodies.hpp"
#include "support/dual.hpp"

namespace {

using namespace twintrack::plant;

constexpr double degree = 0.017453292519943295;

struct Hold {
    double angle, opening, closing;
};

TEST(SetA, StaticHoldLine) {
    const auto body = support::set_a();
    // 0° stands for just above the default position, where the preload has built up.
    const double start = body.springs.width;
    for (const auto& [angle, opening, closing] : std::vector<Hold>{{0.0, 2.663, 0.439},
                                                                   {10.0, 2.723, 0.498},
                                                                   {30.0, 2.842, 0.617},
                                                                   {60.0, 3.020, 0.795},
                                                                   {80.0, 3.139, 0.914}}) {
        const double at = std::max(angle * degree, start);
        EXPECT_NEAR(hold_voltage(body, at, +1), opening, 6e-4) << angle;
        EXPECT_NEAR(hold_voltage(body, at, -1), closing, 6e-4) << angle;
    }
}

TEST(SetA, HysteresisIsTwiceTheFriction) {
    const auto body = support::set_a();
    for (const double angle : {0.1, 0.7, 1.4})
        EXPECT_NEAR(hold_voltage(body, angle, +1) - hold_voltage(body, angle, -1), 2.225, 6e-4);
}

TEST(SetB, StaticHoldLine) {
    const auto body = support::set_b();
    for (const auto& [angle, opening, closing] :
         std::vector<Hold>{{0.0, 1.696, -0.304}, {0.5, 3.089, 1.089}, {1.0, 4.482, 2.482}, {1.5, 5.875, 3.875}}) {
        EXPECT_NEAR(hold_voltage(body, angle, +1), opening, 6e-4) << angle;
        EXPECT_NEAR(hold_voltage(body, angle, -1), closing, 6e-4) << angle;
    }
    EXPECT_NEAR(hold_voltage(body, 0.7, +1) - hold_voltage(body, 0.7, -1), 2.00, 1e-9);
    EXPECT_NEAR(hold_voltage(body, 1.2, +1) - hold_voltage(body, 0.2, +1), 2.786, 6e-4);  // [V/rad]
}

/// Eigenvalues of the exact Jacobian while the blade slides: the bristle's own pole separates (its steady deflection
/// does not depend on the speed where there is no Stribeck effect) and is left out.
std::vector<std::complex<double>> sliding_poles(const BodyMechanics& body) {
    const auto c = coefficients(body);
    const BridgeParameters ideal{.switch_resistance = 0.0, .supply_resistance = 0.0, .current_limit = 100.0};
    const Drive<double> drive{terminal(ideal, BridgeMode::drive, 0.25, 12.0)};
    const double speed = 2.0;
    const State<double> x{1.0, 0.7, speed, body.friction.coulomb / body.friction.bristle_stiffness};
    const auto f = derivatives(support::lift(c), support::lift(drive), support::seed(x));
    EXPECT_NEAR(f.bristle.slope[2], 0.0, 1e-12);
    std::vector<std::vector<double>> columns(3);
    for (std::size_t k = 0; k < 3; ++k) columns[k] = {f.current.slope[k], f.angle.slope[k], f.speed.slope[k]};
    std::vector<std::complex<double>> poles = support::eigenvalues(columns);
    std::sort(poles.begin(), poles.end(), [](auto a, auto b) { return a.real() > b.real(); });
    return poles;
}

TEST(SetA, LinearPoles) {
    const auto poles = sliding_poles(support::set_a());
    EXPECT_NEAR(poles[0].real(), -0.829, 6e-4);
    EXPECT_NEAR(poles[1].real(), -52.55, 6e-3);
    EXPECT_NEAR(poles[2].real(), -950.8, 6e-2);
    for (const auto& pole : poles) EXPECT_EQ(pole.imag(), 0.0);
}

// ω_n 19.75 rad/s, 2ζω_n = 1.766 s⁻¹ (computed with the inductance neglected: L/R is 0.9 ms against 50 ms).
TEST(SetB, LinearPoles) {
    const auto poles = sliding_poles(support::set_b());
    EXPECT_NEAR(std::abs(poles[0]), 19.75, 0.02 * 19.75);
    EXPECT_NEAR(-2.0 * poles[0].real(), 1.766, 0.03 * 1.766);
    EXPECT_EQ(poles[0], std::conj(poles[1]));
    EXPECT_NEAR(poles[2].real(), -1.7 / 1.5e-3, 0.01 * 1.7 / 1.5e-3);
}

// Stall torque KU/R at four supplies and the friction-free top speed U/K of Set A.
TEST(SetA, StallTorqueAndTopSpeed) {
    const auto motor = motor_coefficients(support::set_a().motor);
    for (const auto& [volts, torque] :
         std::vector<std::pair<double, double>>{{9.0, 2.298}, {12.0, 3.064}, {14.0, 3.575}, {16.0, 4.085}}) {
        const double stall = volts / motor.resistance;
        EXPECT_NEAR(current_rate(motor, volts, stall, 0.0), 0.0, 1e-9);
        EXPECT_NEAR(motor.blade_constant * stall, torque, 6e-4);
    }
    EXPECT_EQ(12.0 / motor.resistance, 8.0);  // [A]
    const double top = 12.0 / 0.383;
    EXPECT_NEAR(current_rate(motor, 12.0, 0.0, top), 0.0, 1e-9);
}

}  // namespace
