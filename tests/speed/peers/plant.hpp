// SPDX-License-Identifier: BSD-3-Clause
#pragma once
// The throttle body for the C++ peers, written the way one writes it for one job; shares nothing with the library.
#include <algorithm>
#include <array>
#include <cmath>

using State = std::array<double, 4>;  // current, angle, speed, bristle

struct Body {
    double inertia, resistance, inductance, k, brush, gear_loss;
    double rest, open_preload, open_rate, close_preload, close_rate, width;
    double coulomb, breakaway, stribeck, viscous, stiffness, damping;
    double closed, open, stop_stiffness, stop_damping;
    double switch_resistance, supply_resistance, diode, limit;
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
