// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/pid.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace {

using namespace twintrack;
using namespace twintrack::control;

constexpr double h = 0.001;

std::vector<double> response(const PidParameters& p, const std::vector<double>& errors, double feed = 0.0,
                             double limit = 1e9) {
    const PidCoefficients<double> c = pid_coefficients(p, h);
    PidState<double> x;
    std::vector<double> out;
    for (const double e : errors) {
        const auto [value, next] = pid_step(c, x, e, feed, limit);
        x = next;
        out.push_back(value);
    }
    return out;
}

// Analytic: the three terms of the discrete law for a unit error, by backward differences.
TEST(Pid, TermsOfAUnitError) {
    const auto p = response({.proportional = 2.0, .integral = 0.0, .derivative = 0.0}, {1, 1, 1});
    EXPECT_EQ(p, (std::vector<double>{2, 2, 2}));
    const auto i = response({.proportional = 0.0, .integral = 10.0, .derivative = 0.0}, {1, 1, 1});
    EXPECT_NEAR(i[2], 0.02, 1e-15);
    const auto d = response({.proportional = 0, .integral = 0, .derivative = 0.5, .derivative_filter = 0}, {1, 1, 3});
    EXPECT_NEAR(d[0], 500.0, 1e-9);
    EXPECT_NEAR(d[1], 0.0, 1e-12);
    EXPECT_NEAR(d[2], 1000.0, 1e-9);
}

// Analytic: the filtered derivative of a ramp settles at K_d times its slope, with the time constant of the filter.
TEST(Pid, FilteredDerivativeOfARamp) {
    std::vector<double> ramp;
    for (int k = 1; k <= 200; ++k) ramp.push_back(3.0 * k * h);
    const auto d = response({.proportional = 0, .integral = 0, .derivative = 2.0, .derivative_filter = 0.01}, ramp);
    EXPECT_NEAR(d.back(), 6.0, 1e-6);
    EXPECT_NEAR(d[9], 6.0 * (1.0 - std::pow(0.01 / 0.011, 10)), 1e-12);
}

TEST(Pid, IntegralIgnoresTheDeadBandAndIsContinuousAtItsEdge) {
    const PidParameters p{.proportional = 0, .integral = 1000.0, .derivative = 0, .dead_band = 0.1};
    EXPECT_EQ(response(p, {0.1, 0.1, 0.1}).back(), 0.0);
    EXPECT_EQ(response(p, {-0.09, -0.09, -0.09}).back(), 0.0);
    EXPECT_NEAR(response(p, {0.3, 0.3}).back(), 0.2, 1e-14);
}

TEST(Pid, OutputIsHeldToTheLimitAndFeedForwardCounts) {
    const PidParameters p{.proportional = 100.0, .integral = 0.0, .derivative = 0.0, .limit = 12.0};
    EXPECT_EQ(response(p, {1.0}).back(), 12.0);
    EXPECT_EQ(response(p, {-1.0}, 0.0, 5.0).back(), -5.0);
    EXPECT_NEAR(response(p, {0.01}, 2.0).back(), 3.0, 1e-14);
}

// Back-calculation: after a second at the limit the output leaves it at once when the error turns; without (K_i/K_d
// makes the tracking time) it would stay there for the time the integral needs to run down.
TEST(Pid, DoesNotWindUp) {
    const PidParameters p{.proportional = 10.0, .integral = 100.0, .derivative = 0.1, .derivative_filter = 0.001};
    std::vector<double> errors(1000, 1.0);
    errors.insert(errors.end(), 40, -0.1);
    const auto u = response(p, errors, 0.0, 5.0);
    EXPECT_EQ(u[999], 5.0);
    EXPECT_LT(u[1000], 0.0);
    EXPECT_LT(u[1039], 0.0);
}

TEST(Pid, WithoutIntegralGainTheIntegralStaysZero) {
    const auto u = response({.proportional = 10, .integral = 0, .derivative = 1}, {5, 5, 5, 0, 0, 0, 0}, 0.0, 1.0);
    const auto v = response({.proportional = 10, .integral = 0, .derivative = 0}, {5, 5, 5, 0, 0, 0, 0}, 0.0, 1.0);
    EXPECT_EQ(u.front(), 1.0);
    EXPECT_EQ(v.back(), 0.0);
}

TEST(Pid, RefusesBadParametersAndPeriods) {
    EXPECT_THROW((void)pid_coefficients({.proportional = -1.0}, h), InvalidParameter);
    EXPECT_THROW((void)pid_coefficients({.integral = std::nan("")}, h), InvalidParameter);
    EXPECT_THROW((void)pid_coefficients({}, 0.0), InvalidParameter);
    EXPECT_THROW((void)pid_coefficients({}, std::nan("")), InvalidParameter);
}

/// The law on another number type: two lanes at once.
struct Lanes {
    double a = 0.0, b = 0.0;
    Lanes() = default;
    Lanes(double v) : a(v), b(v) {}  // NOLINT: a plain number is the same in both lanes
    Lanes(double x, double y) : a(x), b(y) {}
    friend Lanes operator+(Lanes x, Lanes y) { return {x.a + y.a, x.b + y.b}; }
    friend Lanes operator-(Lanes x, Lanes y) { return {x.a - y.a, x.b - y.b}; }
    friend Lanes operator-(Lanes x) { return {-x.a, -x.b}; }
    friend Lanes operator*(Lanes x, Lanes y) { return {x.a * y.a, x.b * y.b}; }
};
Lanes min(Lanes x, Lanes y) { return {twintrack::min(x.a, y.a), twintrack::min(x.b, y.b)}; }
Lanes max(Lanes x, Lanes y) { return {twintrack::max(x.a, y.a), twintrack::max(x.b, y.b)}; }

TEST(Pid, LanesGiveTheBitsOfSingleNumbers) {
    const PidParameters p{.proportional = 30, .integral = 500, .derivative = 1, .dead_band = 0.01};
    const auto c = pid_coefficients(p, h);
    const PidCoefficients<Lanes> lanes{c.proportional, c.integral_step, c.derivative_old, c.derivative_new,
                                       c.tracking,     c.dead_band,     c.limit,          c.derivative};
    PidState<Lanes> x;
    std::vector<double> first, second;
    for (int k = 0; k < 50; ++k) {
        first.push_back(0.3 * std::cos(0.2 * k));
        second.push_back(-0.02 * k);
    }
    const auto a = response(p, first, 1.0, 8.0), b = response(p, second, 1.0, 8.0);
    for (std::size_t k = 0; k < 50; ++k) {
        const auto [value, next] = pid_step(lanes, x, Lanes(first[k], second[k]), Lanes(1.0), Lanes(8.0));
        x = next;
        EXPECT_EQ(value.a, a[k]);
        EXPECT_EQ(value.b, b[k]);
    }
}

}  // namespace
