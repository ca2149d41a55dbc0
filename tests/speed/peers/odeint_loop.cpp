// SPDX-License-Identifier: BSD-3-Clause
// The closed loop of one bench, run after run, the way one writes it with Boost.Odeint for one job. See
// loop_numbers.py for what it is; the body is integrated by the controlled Dormand–Prince pair, restarted at each tick.
//
//     odeint_loop FILE RUNS
//
// FILE: names and values of the numbers, then "travels" and one pedal travel per tick. Prints CPU seconds and the mean
// error over all runs and ticks.
#include <boost/numeric/odeint.hpp>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "plant.hpp"

namespace odeint = boost::numeric::odeint;

struct Numbers {
    std::map<std::string, std::vector<double>> all;
    double operator[](const char* name) const { return all.at(name).at(0); }
    const std::vector<double>& list(const char* name) const { return all.at(name); }
};

Body body_of(const Numbers& n) {
    return {n["inertia"],
            n["resistance"],
            n["inductance"],
            n["k"],
            0.0,
            n["gear_loss"],
            n["rest"],
            n["open_preload"],
            n["open_rate"],
            n["close_preload"],
            n["close_rate"],
            n["width"],
            n["coulomb"],
            n["breakaway"],
            n["stribeck"],
            n["viscous"],
            n["stiffness"],
            n["damping"],
            n["closed"],
            n["open"],
            n["stop_stiffness"],
            n["stop_damping"],
            n["switch_resistance"],
            n["supply_resistance"],
            0.7,
            12.0};
}

struct Loop {
    const Numbers& n;
    Body b;
    double battery = n["supply"], travel = b.open - b.closed, noise = n["noise"], decay = n["filter_decay"];
    double kp = n["kp"], ki = n["ki_step"], d_old = n["d_old"], d_new = n["d_new"], tracking = n["tracking"];
    double band = n["dead_band"], alpha = n["alpha"], twitch = n["twitch"], rest = n["learned_default"];
    double coulomb = b.coulomb;  // the controller's, which knows nothing of the run's own
    std::vector<double> ratio0 = n.list("rest_ratio"), ratio1 = n.list("span_ratio");
    std::vector<double> start = n.list("learned_rest"), span = n.list("learned_span");
    std::mt19937_64 bits{};
    std::normal_distribution<double> normal{};
    State x{};
    double filtered[4]{}, reads[4]{}, duty = 0.0, supply = 0.0, truth = 0.0;
    int count[11]{};
    bool off = false, drives = false, running = false;
    double share = 0.0, entry = 0.0, first = 0.0, second = 0.0, opening = 0.0;
    double integral = 0.0, deriv = 0.0, e_old = 0.0, total = 0.0, step = 1e-5;

    void sense(double pedal, bool begun) {
        truth = (x[1] - b.closed) / travel;
        for (int j = 0; j < 4; ++j) {
            const double place = std::clamp(j < 2 ? pedal : truth, 0.0, 1.0);
            const double volts = 5.0 * std::clamp(ratio0[j] + ratio1[j] * place + noise * normal(bits), 0.0, 1.0);
            filtered[j] = begun ? volts + (filtered[j] - volts) * decay : volts;
            reads[j] = std::clamp(std::nearbyint(filtered[j] / 5.0 * 4095.0), 0.0, 4095.0) / 4095.0;
        }
        supply = battery - b.supply_resistance * duty * x[0];
    }

    double position(int j) const { return (reads[j] - start[j]) / span[j]; }

    void watch() {
        const auto see = [this](int j, bool bad, int most) {
            count[j] = bad ? count[j] + 1 : 0;
            off = off || count[j] > most;
        };
        for (int j = 0; j < 4; ++j) see(2 * j, reads[j] < 0.04, 101), see(2 * j + 1, reads[j] > 0.96, 101);
        for (int a : {0, 2})
            see(8 + a / 2,
                std::fabs(reads[a + 1] - start[a + 1] - position(a) * span[a + 1]) > 0.1 * std::fabs(span[a + 1]), 101);
        see(10, drives && std::fabs(second - opening) > 0.1, 1001);
    }

    double spring(double angle) const {
        const double d = angle - rest;
        if (d > 0) return -(b.open_preload * std::min(d / b.width, 1.0) + b.open_rate * d);
        return b.close_preload * std::min(-d / b.width, 1.0) - b.close_rate * d;
    }

    double feed(double y, double speed) const {
        const double torque =
            coulomb * speed / (std::fabs(speed) + 0.05) + b.viscous * speed - spring(b.closed + y * travel);
        return b.resistance * torque / b.k + b.k * speed;
    }

    void control(int k) {
        const double pedal = position(0);
        opening = position(2);
        duty = 0.0, drives = !off && k >= 150;
        if (!drives) {
            running = false;
            return;
        }
        if (!running) {
            running = true, share = deriv = 0.0;
            entry = first = second = std::clamp(opening, 0.0, 1.0);
            e_old = (second - opening) * travel;
            integral = -feed(second, 0.0) - kp * e_old;
        }
        const double demand = std::min(0.02 + 0.95 * std::max(pedal - 0.03, 0.0) / 0.97, 0.97), before = second;
        share = std::min(share + 0.01, 1.0);
        first += alpha * (entry + share * ((k < 230 ? twitch : demand) - entry) - first);
        second += alpha * (first - second);
        const double e = (second - opening) * travel;
        deriv = d_old * deriv + d_new * (e - e_old);
        const double wanted = kp * e + integral + deriv + feed(second, (second - before) * travel / 1e-3);
        const double u = std::clamp(wanted, -0.95 * supply, 0.95 * supply);
        integral += ki * (e - std::clamp(e, -band, band)) + tracking * (u - wanted);
        e_old = e, duty = u / supply;
        total += std::fabs(second - truth);
    }

    void integrate() {
        Plant plant{b, battery, drives ? 0 : 2, duty, 0.0};
        auto stepper = odeint::make_controlled(1e-6, 1e-3, odeint::runge_kutta_dopri5<State>());
        for (double t = 0.0; t < 0.001 * (1 - 1e-12);) {
            double h = std::min(step, 0.001 - t);
            const bool cut = h < step;
            if (stepper.try_step(plant, x, t, h) == odeint::fail || !cut || h > step) step = h;
        }
    }
};

int main(int count, char** words) {
    if (count != 3) return std::fprintf(stderr, "usage: odeint_loop FILE RUNS\n"), 2;
    std::ifstream in(words[1]);
    Numbers numbers;
    std::string name;
    for (std::size_t entries = 0; in >> name >> entries;) {
        std::vector<double>& list = numbers.all[name];
        list.resize(entries);
        for (double& v : list) in >> v;
    }
    const std::vector<double>& travels = numbers.list("travels");
    const int runs = std::atoi(words[2]);
    double total = 0.0;
    const std::clock_t began = std::clock();
    for (int r = 0; r < runs; ++r) {
        Loop loop{numbers, body_of(numbers)};
        loop.bits.seed(static_cast<unsigned>(r));
        loop.b.breakaway += loop.b.coulomb * 0.1 * std::sin(r), loop.b.coulomb *= 1.0 + 0.1 * std::sin(r);
        loop.x[1] = loop.b.rest;
        for (std::size_t k = 0; k < travels.size(); ++k) {
            loop.sense(travels[k], k > 0);
            loop.watch();
            loop.control(static_cast<int>(k));
            loop.integrate();
        }
        total += loop.total / static_cast<double>(travels.size());
    }
    const double seconds = static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC;
    std::printf("%.6g %.6g\n", seconds, total / runs);
}
