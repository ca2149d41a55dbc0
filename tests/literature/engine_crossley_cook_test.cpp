// SPDX-License-Identifier: BSD-3-Clause
// P. R. Crossley, J. A. Cook, "A nonlinear engine model for drivetrain system development", IEE Control 91, Edinburgh,
// 1991; coefficients second-hand, as restated in the engine components of the Modelica Standard Library (BSD licence).
// Taken as a misprint is the cubic coefficient of the throttle: 0.0063 in print, 0.00063 here, since with the former
// the flow would be negative from about 18° on. The paper's polynomials for throttle, pumping and torque stand here;
// the manifold, the delay by crank angle and the integration are the library's. Units of the paper: bar, g/s, rad/s,
// degrees. Operating points, inertia and load are our own; the equilibria are SciPy's (crossley_cook.py).
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
    constexpr std::array<std::array<double, 5>, 6> rows = {{{7, 1200, 0.7085, 6.621, 30.55},
                                                            {11, 1800, 0.7713, 11.650, 42.21},
                                                            {11, 2600, 0.5258, 13.850, 26.99},
                                                            {15, 2400, 0.8221, 17.655, 52.18},
                                                            {24, 3600, 0.8920, 32.396, 68.06},
                                                            {50, 4400, 0.9831, 46.170, 81.63}}};
    for (const auto& [angle, rpm, pressure, flow, moment] : rows) {
        PaperEngine engine(0.6, rpm * pi / 30.0);
        for (int k = 0; k < 40000; ++k) engine.step(angle, 0.0, 0.0, 5e-4);
        EXPECT_NEAR(engine.pressure, pressure, 6e-5) << angle << "°, " << rpm;
        EXPECT_NEAR(throttle(angle, engine.pressure), flow, 6e-4) << angle << "°, " << rpm;
        EXPECT_NEAR(engine.now, moment, 6e-3) << angle << "°, " << rpm;
    }
}

// From the second point with 8 N·m less. A larger inertia arrives later at the same speed.
TEST(CrossleyCook, LoadStep) {
    double arrival[2] = {};
    for (const int k : {0, 1}) {
        const double inertia = k == 0 ? 0.1 : 0.2;  // [kg·m²]
        PaperEngine engine(0.7713, 1800.0 * pi / 30.0);
        for (int i = 0; i < 20000; ++i) engine.step(11.0, 42.21, 1.0 / inertia, 5e-4);
        EXPECT_NEAR(engine.speed * 30.0 / pi, 1800.0, 1.0);
        for (int i = 0; i < 20000; ++i) {
            engine.step(11.0, 34.21, 1.0 / inertia, 5e-4);
            if (arrival[k] == 0.0 && engine.speed * 30.0 / pi > 2250.0) arrival[k] = 5e-4 * i;
        }
        EXPECT_NEAR(engine.speed * 30.0 / pi, 2296.7, 1.0);
    }
    EXPECT_GT(arrival[0], 0.0);
    EXPECT_GT(arrival[1], 1.3 * arrival[0]);
}

}  // namespace
