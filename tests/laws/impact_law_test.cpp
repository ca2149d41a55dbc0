// SPDX-License-Identifier: BSD-3-Clause
// An impact on a stop against its first integral. With δ the depth and v = dδ/dt the contact of Hunt & Crossley obeys
// J v dv/dδ = −k δ (1 + d v), which separates: from δ = 0 to δ = 0 the speeds in and out, v and e v, satisfy
//     d v − ln(1 + d v) = −d e v − ln(1 − d e v).        Analytic; k and J drop out.
#include <gtest/gtest.h>

#include <cmath>

#include "support/bodies.hpp"
#include "twintrack/bench/exact_solver.hpp"

namespace {

using namespace twintrack::plant;

double restitution(double damping, double speed) {
    const double in = damping * speed, goal = in - std::log1p(in);
    double low = 0.0, high = std::fmin(in, 1.0 - 1e-12);
    for (int k = 0; k < 200; ++k) {
        const double out = 0.5 * (low + high);
        (-out - std::log1p(-out) < goal ? low : high) = out;
    }
    return 0.5 * (low + high) / in;
}

/// A blade without springs, friction and current thrown at a stop; the share of its speed it leaves with.
double bounce(double speed) {
    BodyMechanics body;
    body.springs = {.rest_angle = 0.7, .open_preload = 0.0, .open_rate = 0.0, .close_preload = 0.0, .close_rate = 0.0};
    body.friction = {.kind = FrictionKind::simple, .coulomb = 1e-9, .breakaway = 1e-9, .viscous = 0.0};
    twintrack::bench::ExactSolver engine(coefficients(body),
                                         {.relative_tolerance = 1e-11, .absolute_tolerance = 1e-13});
    const bool opening = speed > 0.0;
    State<double> x{0.0, opening ? body.stops.open_angle - 1e-6 : body.stops.closed_angle + 1e-6, speed, 0.0};
    const Drive<double> open{terminal({}, BridgeMode::high_impedance, 0.0, 12.0)};
    for (int k = 0; k < 100; ++k) {
        const auto failure = engine.advance(x, open, 1e-3);
        EXPECT_FALSE(failure) << *failure;
    }
    return -x.speed / speed;
}

TEST(Impact, LeavesWithTheSpeedOfTheFirstIntegral) {
    for (const double speed : {0.1, 1.0, 3.0, 10.0, 30.0}) {
        const double expected = restitution(StopParameters{}.damping, speed);
        EXPECT_NEAR(bounce(speed), expected, 1e-5) << speed;
        EXPECT_NEAR(bounce(-speed), expected, 1e-5) << speed;
    }
}

TEST(Impact, SmallSpeedsFollowTheApproximationOfTheHeader) {
    const double damping = StopParameters{}.damping;
    for (const double speed : {0.01, 0.1}) EXPECT_NEAR(bounce(speed), 1.0 - damping * speed / 1.5, 5e-4);
}

}  // namespace
