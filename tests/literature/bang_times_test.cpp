// SPDX-License-Identifier: BSD-3-Clause
// Set A (Loh et al. 2013, second-hand; support/bodies.hpp) thrown open, thrown shut and let go. The expected times are
// SciPy's (bang_times.py), with plain Coulomb friction and no resistance in bridge or supply.
#include <gtest/gtest.h>

#include "support/bodies.hpp"
#include "twintrack/bench/exact_solver.hpp"

namespace {

using namespace twintrack::plant;

constexpr double degree = 0.017453292519943295;

struct Arrival {
    double time, speed;  ///< [s], [rad/s]
};

/// Lets Set A move from `from` and tells when it passes `to`; angles above the default position [degrees].
Arrival travel(BridgeMode mode, double duty, double from, double to) {
    BodyMechanics body = support::set_a();
    body.stops.closed_angle = -0.2;
    body.stops.open_angle = 1.6;  // no stop between the two angles
    const BridgeParameters ideal{.switch_resistance = 0.0, .supply_resistance = 0.0, .current_limit = 100.0};
    const Drive<double> drive{terminal(ideal, mode, duty, 12.0)};
    twintrack::bench::ExactSolver engine(coefficients(body));
    const double goal = to * degree, side = from < to ? 1.0 : -1.0;
    // plain Coulomb friction acts in full from the first instant: the bristle starts drawn out
    State<double> x{0.0, from * degree, 0.0, side * body.friction.coulomb / body.friction.bristle_stiffness};
    constexpr double tick = 1e-4;
    for (int k = 0; k < 20000; ++k) {
        const State<double> before = x;
        const auto failure = engine.advance(x, drive, tick);
        EXPECT_FALSE(failure) << *failure;
        if (side * (x.angle - goal) >= 0.0)
            return {tick * (k + (goal - before.angle) / (x.angle - before.angle)), std::fabs(x.speed)};
    }
    ADD_FAILURE() << "never arrived";
    return {};
}

TEST(SetA, BangTimes) {
    const auto open = travel(BridgeMode::drive, 1.0, 0.0, 80.0);
    EXPECT_NEAR(open.time, 0.0833, 0.01 * 0.0833);
    EXPECT_NEAR(open.speed, 21.3, 0.01 * 21.3);
    EXPECT_NEAR(travel(BridgeMode::drive, -1.0, 80.0, 0.0).time, 0.0647, 0.01 * 0.0647);
}

// A motor that is switched off by shorting it holds the blade back: the return takes nearly five times as long.
TEST(SetA, ReturnTimes) {
    const double open = travel(BridgeMode::high_impedance, 0.0, 80.0, 0.0).time;
    const double shorted = travel(BridgeMode::brake, 0.0, 80.0, 0.0).time;
    EXPECT_NEAR(open, 0.191, 0.01 * 0.191);
    EXPECT_NEAR(shorted, 0.905, 0.01 * 0.905);
}

}  // namespace
