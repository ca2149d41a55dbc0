// SPDX-License-Identifier: BSD-3-Clause
// C. Canudas de Wit, H. Olsson, K. J. Åström, P. Lischinsky, "A new model for control of systems with friction", IEEE
// Trans. Autom. Control 40(3):419–425, 1995. Table I (read second-hand; four public reconstructions agree): σ₀ 1e5 N/m,
// σ₁ √1e5 N·s/m, σ₂ 0.4 N·s/m, F_C 1 N, F_S 1.5 N, v_S 0.001 m/s, unit mass. The experiments are its figures. The
// steady curve follows from Table I by hand; the numbers of break-away and stick-slip are regression only, and stand
// beside the law as printed, integrated by Boost.Odeint.
// Our law is linear or angular alike: N, m, s stand where N·m, rad, s do.
#include <gtest/gtest.h>

#include <vector>

#include "support/integrate.hpp"
#include "twintrack/plant/friction.hpp"

namespace {

using namespace twintrack::plant;

const FrictionParameters table_1{.coulomb = 1.0,
                                 .breakaway = 1.5,
                                 .stribeck_speed = 0.001,
                                 .viscous = 0.4,
                                 .bristle_stiffness = 1e5,
                                 .bristle_damping = std::sqrt(1e5)};

Friction<double> our_law(double speed, double bristle) {
    static const auto c = friction_coefficients(table_1);
    return friction(c, speed, bristle, 0.0);
}

/// As printed: constant bristle damping.
Friction<double> published_law(double v, double z) {
    const double g = 1.0 + 0.5 * std::exp(-(v / 0.001) * (v / 0.001));
    const double rate = v - 1e5 * std::fabs(v) * z / g;
    return {1e5 * z + std::sqrt(1e5) * rate + 0.4 * v, rate};
}

using Law = Friction<double> (*)(double, double);

TEST(LuGre, SteadyFriction) {
    const std::vector<std::pair<double, double>> curve = {{1e-4, 1.49506}, {5e-4, 1.38960}, {1e-3, 1.18434},
                                                          {2e-3, 1.00996}, {3e-3, 1.00126}, {5e-3, 1.00200},
                                                          {1e-2, 1.00400}};
    for (const auto& [speed, force] : curve) {
        const double g = friction_level(friction_coefficients(table_1), speed, 0.0);
        EXPECT_NEAR(our_law(speed, g / 1e5).torque, force, 5e-6) << speed;
    }
}

TEST(LuGre, StribeckMinimum) {
    const auto c = friction_coefficients(table_1);
    double least = 10.0, where = 0.0;
    for (double v = 1e-3; v < 1e-2; v += 1e-6) {
        const double force = friction_level(c, v, 0.0) + 0.4 * v;
        if (force < least) least = force, where = v;
    }
    EXPECT_NEAR(least, 1.00126, 5e-6);
    EXPECT_NEAR(where, 2.99e-3, 1e-5);
}

/// Unit mass pushed by a force that grows at `rate` [N/s]; the first local maximum of the friction [N].
double breakaway(Law law, double rate) {
    std::array<double, 2> x{};  // speed, bristle
    double before = 0.0, found = 0.0;
    const auto system = [&](const std::array<double, 2>& s, std::array<double, 2>& ds, double t) {
        const auto f = law(s[0], s[1]);
        ds = {rate * t - f.torque, f.bristle_rate};
    };
    support::integrate(system, x, 0.0, 2.0 / rate, 1e-4 / rate, [&](const auto& s, double) {
        const double force = law(s[0], s[1]).torque;
        // the ripple of the bristle's own oscillation lies far below the break-away
        if (found == 0.0 && before > 1.05 && force < before) found = before;
        before = force;
    });
    return found;
}

TEST(LuGre, BreakawayFallsWithTheForceRate) {
    EXPECT_NEAR(breakaway(our_law, 1.0), 1.432, 0.01 * 1.432);
    EXPECT_NEAR(breakaway(our_law, 10.0), 1.220, 0.01 * 1.220);
    for (const double rate : {1.0, 10.0})
        EXPECT_NEAR(breakaway(our_law, rate), breakaway(published_law, rate), 0.002) << rate;
}

struct StickSlip {
    std::vector<double> onsets;  ///< [s] the mass starts to slip
    double slip = 0.0;           ///< [m] of the second slip
    double peak = 0.0;           ///< [m/s]
    double before = 0.0;         ///< [N] largest friction while sticking
};

/// Unit mass on a spring of 2 N/m whose far end moves at 0.1 m/s.
StickSlip stick_slip(Law law) {
    StickSlip r;
    std::array<double, 3> x{};  // position, speed, bristle
    bool slipping = false;
    double start = 0.0;
    const auto system = [&](const std::array<double, 3>& s, std::array<double, 3>& ds, double t) {
        const auto f = law(s[1], s[2]);
        ds = {s[1], 2.0 * (0.1 * t - s[0]) - f.torque, f.bristle_rate};
    };
    const auto see = [&](const std::array<double, 3>& s, double t) {
        r.peak = std::max(r.peak, s[1]);
        if (!slipping) r.before = std::max(r.before, law(s[1], s[2]).torque);
        if (!slipping && s[1] > 0.01) slipping = true, start = s[0], r.onsets.push_back(t);
        if (slipping && s[1] < 1e-4) slipping = false, r.slip = s[0] - start;
    };
    support::integrate(system, x, 0.0, 24.0, 1e-3, see, 1e-9);
    return r;
}

TEST(LuGre, StickSlip) {
    const auto ours = stick_slip(our_law);
    ASSERT_GE(ours.onsets.size(), 3U);
    EXPECT_NEAR(ours.onsets[0], 7.44, 0.01 * 7.44);
    EXPECT_NEAR(ours.onsets[2] - ours.onsets[1], 6.363, 0.01 * 6.363);
    EXPECT_NEAR(ours.slip, 0.636, 0.01 * 0.636);
    EXPECT_NEAR(ours.peak, 0.370, 0.01 * 0.370);
    EXPECT_NEAR(ours.before, 1.477, 0.01 * 1.477);
}

// What the fade of the bristle damping, which the published law has not, changes in these experiments.
TEST(LuGre, ThePassiveFadeHardlyShows) {
    const auto ours = stick_slip(our_law), published = stick_slip(published_law);
    ASSERT_EQ(ours.onsets.size(), published.onsets.size());
    for (std::size_t k = 0; k < ours.onsets.size(); ++k) EXPECT_NEAR(ours.onsets[k], published.onsets[k], 0.01);
    EXPECT_NEAR(ours.slip, published.slip, 1e-3);
    EXPECT_NEAR(ours.peak, published.peak, 1e-3);
}

}  // namespace
