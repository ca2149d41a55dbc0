// SPDX-License-Identifier: BSD-3-Clause
// A peer to time the library against: Boost.Odeint's controlled Dormand–Prince pair on the same equations, written the
// way one writes them for one job. Nothing else happens in its loop: no sensors, no controller, no monitor, no record.
//
//     bare_odeint FILE REPEATS
//
// FILE: relative tolerance, supply, then the parameters in the order of `Body`, then per millisecond tick the bridge
// mode (0 drive, 1 brake, 2 high impedance), the duty and the blade angle another solver found [rad]. Prints the
// shortest time of a run [s] and the largest distance to those angles [degrees].
#include <algorithm>
#include <array>
#include <boost/numeric/odeint.hpp>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <vector>

namespace odeint = boost::numeric::odeint;
using State = std::array<double, 4>;  // current, angle, speed, bristle

struct Body {
    double inertia, resistance, inductance, k, brush, gear_loss;
    double rest, open_preload, open_rate, close_preload, close_rate, width;
    double coulomb, breakaway, stribeck, viscous, stiffness, damping;
    double closed, open, stop_stiffness, stop_damping;
    double switch_resistance, supply_resistance, diode, limit;
};

struct Tick {
    double mode, duty, angle;
};

struct Plant {
    const Body& b;
    double supply;
    int mode = 0;
    double duty = 0.0, flow = 0.0;  // flow: sign of a current dying in high impedance

    double voltage(double i) const {
        if (mode == 2) return -flow * (supply + 2 * b.diode);
        if (mode == 1) return -2 * b.switch_resistance * i;
        double push = duty * supply;
        if (push * i > 0 && std::fabs(i) > b.limit)
            push *= std::max((1.05 * b.limit - std::fabs(i)) / (0.05 * b.limit), 0.0);
        return push - (2 * b.switch_resistance + duty * duty * b.supply_resistance) * i;
    }

    double spring(double angle) const {
        const double x = angle - b.rest;
        if (x > 0) return -(b.open_preload * std::min(x / b.width, 1.0) + b.open_rate * x);
        return b.close_preload * std::min(-x / b.width, 1.0) - b.close_rate * x;
    }

    double stop(double angle, double speed) const {
        if (angle < b.closed) return b.stop_stiffness * (b.closed - angle) * std::max(1 - b.stop_damping * speed, 0.0);
        if (angle > b.open) return -b.stop_stiffness * (angle - b.open) * std::max(1 + b.stop_damping * speed, 0.0);
        return 0.0;
    }

    void operator()(const State& x, State& d, double) const {
        const double i = x[0], w = x[2], z = x[3], drive = b.k * i, r = w / b.stribeck;
        const double g = b.coulomb + (b.breakaway - b.coulomb) * std::exp(-r * r) + b.gear_loss * std::fabs(drive);
        d[3] = w - b.stiffness * std::fabs(w) / g * z;
        const double damping = b.damping * 4 * g / (4 * g + b.damping * std::fabs(w));
        const double rub = b.stiffness * z + damping * d[3] + b.viscous * w;
        const double drop = b.resistance * i + b.brush * i / (std::fabs(i) + 0.05) + b.k * w;
        d[0] = mode == 2 && flow == 0.0 ? 0.0 : (voltage(i) - drop) / b.inductance;
        d[1] = w;
        d[2] = (drive + spring(x[1]) + stop(x[1], w) - rub) / b.inertia;
    }
};

/// One run; returns the largest distance to the given angles [rad].
double run(Plant plant, const std::vector<Tick>& ticks, double tolerance) {
    auto stepper = odeint::make_controlled(0.01 * tolerance, tolerance, odeint::runge_kutta_dopri5<State>());
    State x{0.0, ticks.front().angle, 0.0, 0.0};
    double step = 1e-5, worst = 0.0;
    for (const Tick& tick : ticks) {
        worst = std::max(worst, std::fabs(x[1] - tick.angle));
        plant.mode = static_cast<int>(tick.mode), plant.duty = tick.duty;
        plant.flow = plant.mode == 2 && x[0] != 0.0 ? std::copysign(1.0, x[0]) : 0.0;
        stepper.reset();
        for (double t = 0.0; t < 0.001 * (1 - 1e-12);) {
            double h = std::min(step, 0.001 - t);
            const bool cut = h < step;
            if (stepper.try_step(plant, x, t, h) == odeint::fail || !cut || h > step) step = h;
            if (plant.flow * x[0] < 0.0) x[0] = plant.flow = 0.0, stepper.reset();  // the current has died
        }
    }
    return worst;
}

int main(int count, char** words) {
    if (count != 3) return std::fprintf(stderr, "usage: bare_odeint FILE REPEATS\n"), 2;
    std::ifstream in(words[1]);
    double tolerance = 0.0, supply = 0.0;
    Body body{};
    in >> tolerance >> supply;
    for (auto* p = reinterpret_cast<double*>(&body); p != reinterpret_cast<double*>(&body + 1); ++p) in >> *p;
    std::vector<Tick> ticks;
    for (Tick t{}; in >> t.mode >> t.duty >> t.angle;) ticks.push_back(t);
    if (ticks.empty()) return std::fprintf(stderr, "bare_odeint: cannot read %s\n", words[1]), 2;
    double shortest = 1e9, worst = 0.0;
    for (int k = 0; k < std::atoi(words[2]); ++k) {
        const auto start = std::chrono::steady_clock::now();
        worst = run({body, supply}, ticks, tolerance);
        shortest = std::min(shortest, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
    std::printf("%.6g %.3e\n", shortest, worst * 57.29577951308232);
}
