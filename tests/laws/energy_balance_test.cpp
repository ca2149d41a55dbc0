// SPDX-License-Identifier: BSD-3-Clause
// The books of the exact solver: what crossed the body's border is either still kept in it or was turned to heat.
// Analytic.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "support/bodies.hpp"
#include "support/draw.hpp"
#include "twintrack/bench/exact_solver.hpp"

namespace {

using namespace twintrack::plant;
using twintrack::bench::EnergyLedger;
using twintrack::bench::ExactSolver;
using twintrack::bench::ExactSolverSettings;

class EnergyBalance : public testing::TestWithParam<support::Body> {
protected:
    const BodyMechanics body = GetParam().mechanics;
    const Coefficients<double> c = coefficients(body);

    /// Everything that can be done to a body: full drives into both stops, braking, letting go, a hand on the blade.
    static Drive<double> drive(support::Draw& draw, const BridgeParameters& bridge) {
        const auto mode = static_cast<BridgeMode>(static_cast<int>(draw.uniform(0.0, 3.0)));
        const double duty = std::clamp(draw.uniform(-1.6, 1.6), -1.0, 1.0);
        return {terminal(bridge, mode, duty, draw.uniform(8.0, 16.0)), draw.uniform(-0.3, 0.3)};
    }

    /// Random drives over some six seconds; the books must close at every change of drive, to `share` of the energy
    /// that has gone in and out.
    void expect_closed(std::uint32_t seed, const ExactSolverSettings& settings, double share) {
        support::Draw draw(seed);
        ExactSolver engine(c, settings);
        State<double> x{0.0, default_angle(body), 0.0, 0.0};
        EnergyLedger ledger;
        const double start = energies(c, x).total();
        double turnover = 0.0, pressed = 0.0;
        for (int piece = 0; piece < 200; ++piece) {
            const auto acting = drive(draw, {});
            const int ticks = static_cast<int>(draw.uniform(1.0, 60.0));
            for (int tick = 0; tick < ticks; ++tick) {
                const double before = ledger.supplied;
                const auto failure = engine.advance(x, acting, 0.001, &ledger);
                ASSERT_FALSE(failure) << *failure;
                turnover += std::fabs(ledger.supplied - before);
                pressed = std::max(pressed, stop_potential(c.stops, x.angle));
            }
            const double kept = energies(c, x).total() - start;
            ASSERT_NEAR(kept, ledger.kept(), share * std::max(turnover, 0.01)) << "seed " << seed << " piece " << piece;
        }
        EXPECT_GT(ledger.copper, 0.0);
        EXPECT_GT(ledger.friction, 0.0);
        EXPECT_GT(ledger.stops, 0.0) << "the drives should have struck a stop";
        EXPECT_GT(pressed, 0.0);
    }
};

TEST_P(EnergyBalance, ClosesToOneInAMillion) {
    for (std::uint32_t seed = 1; seed <= 4; ++seed)
        expect_closed(seed, {.relative_tolerance = 1e-9, .absolute_tolerance = 1e-11}, 1e-6);
}

// At the default tolerance of 1e-6 the books are as good as the integration.
TEST_P(EnergyBalance, ClosesAtTheDefaultTolerance) { expect_closed(5, {}, 1e-4); }

TEST_P(EnergyBalance, WithoutPowerTheEnergyOnlyFalls) {
    support::Draw draw(9);
    for (const BridgeMode mode : {BridgeMode::brake, BridgeMode::high_impedance}) {
        ExactSolver engine(c);
        State<double> x{2.0, 0.9 * body.stops.open_angle, draw.uniform(-20.0, 20.0), 0.0};
        double energy = energies(c, x).total();
        for (int tick = 0; tick < 2000; ++tick) {
            ASSERT_FALSE(engine.advance(x, {terminal({}, mode, 0.0, 12.0)}, 0.001));
            const double now = energies(c, x).total();
            EXPECT_LE(now, energy + 1e-9);
            energy = now;
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Bodies, EnergyBalance, testing::ValuesIn(support::bodies()), support::name);

}  // namespace
