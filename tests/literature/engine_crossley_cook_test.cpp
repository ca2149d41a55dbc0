// SPDX-License-Identifier: BSD-3-Clause
// P. R. Crossley, J. A. Cook, "A nonlinear engine model for drivetrain system development", IEE Control 91, Edinburgh,
// 1991; coefficients second-hand, as restated in a public BSD-licensed model library. Their polynomials for throttle,
// pumping and torque stand here; the manifold, the delay by crank angle and the integration are the library's. Units of
// the paper: bar, g/s, rad/s, degrees. The equilibria are computed from the polynomials, independently of this library.
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "twintrack/core/angle.hpp"
#include "twintrack/engine/angle_delay.hpp"
#include "twintrack/engine/manifold.hpp"

namespace {

using namespace twintrack::engine;
using twintrack::pi;

double throttle(double angle, double pressure) {
    const double full = 2.821 - 0.05231 * angle + 0.10299 * angle * angle - 0.00063 * angle * angle * angle;
    return full * (pressure <= 0.5 ? 1.0 : 2.0 * std::sqrt(std::max(pressure - pressure * pressure, 0.0)));
}

double pump(double speed, double pressure) {
    return -0.366 + 0.08979 * speed * pressure - 0.0337 * speed * pressure * pressure +
           0.0001 * speed * speed * pressure;
}

double torque(double charge, double speed) {
    constexpr double mixture = 14.6, spark = 15.0;
    return -181.3 + 379.36 * charge + 21.91 * mixture - 0.85 * mixture * mixture + 0.26 * spark -
           0.0028 * spark * spark + 0.027 * speed - 0.000107 * speed * speed + 0.00048 * speed * spark +
           2.55 * spark * charge - 0.05 * spark * spark * charge;
}

/// ṗ = 0.41328 (ṁ_i − ṁ_o) bar/s per g/s.
struct PaperEngine {
    ManifoldCoefficients<double> manifold{0.0, 0.41328 / (twintrack::plant::gas_constant * 300.0), 300.0, 0.0};
    AngleDelay charge;  // half a turn
    double pressure, speed, angle = 0.0, now = 0.0;

    PaperEngine(double start_pressure, double start_speed)
        : charge(pi, pump(start_speed, start_pressure) * pi / start_speed),
          pressure(start_pressure),
          speed(start_speed) {}

    /// `inertia` infinite: the speed is held. Midpoint steps.
    void step(double throttle_angle, double load, double inverse_inertia, double h) {
        charge.write(angle, pump(speed, pressure) * pi / speed);
        const auto rate = [&](double p, double w) {
            return manifold_rates(manifold, p, 300.0, throttle(throttle_angle, p), 300.0, pump(w, p)).pressure;
        };
        now = torque(charge.read(angle + 0.5 * h * speed), speed);
        const double middle = speed + 0.5 * h * (now - load) * inverse_inertia;
        pressure += h * rate(pressure + 0.5 * h * rate(pressure, speed), middle);
        speed += h * (torque(charge.read(angle + 0.5 * h * speed), middle) - load) * inverse_inertia;
        angle += h * middle;
    }
};

TEST(CrossleyCook, Equilibria) {
    // throttle [deg], speed [rpm], pressure [bar], flow [g/s], torque [N·m]
    constexpr std::array<std::array<double, 5>, 6> rows = {{{8.97, 2000, 0.5430, 10.146, 24.98},
                                                            {8.97, 1500, 0.7368, 8.970, 36.30},
                                                            {10, 2000, 0.6354, 11.520, 33.36},
                                                            {12, 3000, 0.4967, 15.935, 25.61},
                                                            {20, 3000, 0.8773, 24.891, 62.00},
                                                            {45, 4000, 0.9821, 40.189, 78.70}}};
    for (const auto& [angle, rpm, pressure, flow, moment] : rows) {
        PaperEngine engine(0.6, rpm * pi / 30.0);
        for (int k = 0; k < 40000; ++k) engine.step(angle, 0.0, 0.0, 5e-4);
        EXPECT_NEAR(engine.pressure, pressure, 6e-5) << angle << "°, " << rpm;
        EXPECT_NEAR(throttle(angle, engine.pressure), flow, 6e-4) << angle << "°, " << rpm;
        EXPECT_NEAR(engine.now, moment, 6e-3) << angle << "°, " << rpm;
    }
}

// From the first point, inertia 0.14 kg·m² (from memory), load 5 N·m less: settles at 2175 rpm within about a second.
TEST(CrossleyCook, LoadStep) {
    PaperEngine engine(0.543, 2000.0 * pi / 30.0);
    for (int k = 0; k < 20000; ++k) engine.step(8.97, 24.98, 1.0 / 0.14, 5e-4);
    EXPECT_NEAR(engine.speed * 30.0 / pi, 2000.0, 1.0);
    double after_a_second = 0.0;
    for (int k = 0; k < 20000; ++k) {
        engine.step(8.97, 19.98, 1.0 / 0.14, 5e-4);
        if (k == 3000) after_a_second = engine.speed * 30.0 / pi;
    }
    EXPECT_NEAR(engine.speed * 30.0 / pi, 2175.0, 1.0);
    EXPECT_NEAR(after_a_second, 2175.0, 0.02 * 175.0 + 10.0);
}

}  // namespace
