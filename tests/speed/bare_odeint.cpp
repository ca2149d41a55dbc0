// SPDX-License-Identifier: BSD-3-Clause
// A peer to time the library against: Boost.Odeint's controlled Dormand–Prince pair on the same equations, written the
// way one writes them for one job. Nothing else happens in its loop: no sensors, no controller, no monitor, no record.
//
//     bare_odeint FILE REPEATS
//
// FILE: relative tolerance, supply, then the parameters in the order of `Body`, then per millisecond tick the bridge
// mode (0 drive, 1 brake, 2 high impedance), the duty and the blade angle this library's exact solver found [rad].
// Prints the shortest time of a run [s] and the largest distance to those angles [degrees].
#include <algorithm>
#include <boost/numeric/odeint.hpp>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <vector>

#include "peers/plant.hpp"

namespace odeint = boost::numeric::odeint;
struct Tick {
    double mode, duty, angle;
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
