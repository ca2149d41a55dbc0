// SPDX-License-Identifier: BSD-3-Clause
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "twintrack/control/pid.hpp"

// K. Ogata, Modern Control Engineering, the Ziegler–Nichols example: plant 1/(s(s+1)(s+5)), K_cr = 30,
// P_cr = 2π/√5. The book's tunings and its overshoots 62, 18 and 28 % are from memory; the finer figures (61.8, 18.6,
// 28.1 %; peaks at 1.67 and 0.65 s) were computed independently from the closed-loop transfer function.
namespace {

using namespace twintrack::control;
using State = std::array<double, 3>;  ///< y, ẏ, ÿ

struct Step {
    double overshoot;  ///< [%]
    double peak_time;  ///< [s]
};

State rate(const State& x, double u) { return {x[1], x[2], u - 6.0 * x[2] - 5.0 * x[1]}; }

State moved(const State& x, const State& d, double h) { return {x[0] + h * d[0], x[1] + h * d[1], x[2] + h * d[2]}; }

State advance(const State& x, double u, double h) {
    const State a = rate(x, u), b = rate(moved(x, a, h / 2), u), c = rate(moved(x, b, h / 2), u),
                d = rate(moved(x, c, h), u);
    return moved(moved(moved(moved(x, a, h / 6), b, h / 3), c, h / 3), d, h / 6);
}

/// The ideal PID of the book: derivative filter zero and a period far below every time constant.
Step unit_step(double gain, double integral_time, double derivative_time) {
    constexpr double h = 5e-5;
    const auto c = pid_coefficients({.proportional = gain,
                                     .integral = gain / integral_time,
                                     .derivative = gain * derivative_time,
                                     .derivative_filter = 0.0},
                                    h);
    PidState<double> pid;
    State x{};
    Step out{0.0, 0.0};
    for (int k = 0; k < 400000; ++k) {
        const auto [u, next] = pid_step(c, pid, 1.0 - x[0], 0.0, 1e9);
        pid = next;
        x = advance(x, u, h);
        if (100.0 * (x[0] - 1.0) > out.overshoot) out = {100.0 * (x[0] - 1.0), (k + 1) * h};
    }
    EXPECT_NEAR(x[0], 1.0, 0.005);
    return out;
}

const double critical_period = 2.0 * 3.14159265358979 / std::sqrt(5.0);

TEST(Ogata, ZieglerNicholsTuning) {
    const Step s = unit_step(0.6 * 30.0, 0.5 * critical_period, 0.125 * critical_period);
    EXPECT_NEAR(s.overshoot, 61.8, 0.3);
    EXPECT_NEAR(s.peak_time, 1.67, 0.02);
}

TEST(Ogata, DoubleZeroMovedToTheRight) { EXPECT_NEAR(unit_step(18.0, 3.077, 0.7692).overshoot, 18.6, 0.3); }

TEST(Ogata, HigherGain) {
    const Step s = unit_step(39.42, 3.077, 0.7692);
    EXPECT_NEAR(s.overshoot, 28.1, 0.3);
    EXPECT_NEAR(s.peak_time, 0.65, 0.02);
}

}  // namespace
