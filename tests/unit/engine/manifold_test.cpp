// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/manifold.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/integrate.hpp"
#include "support/refusal.hpp"

namespace {

using namespace twintrack::engine;
using twintrack::plant::gas_constant;

TEST(Manifold, IsothermalFillsByTheGasLaw) {
    const auto c = manifold_coefficients({.volume = 2e-3});
    const auto rates = manifold_rates(c, 5e4, 320.0, 5e-3, 290.0, 2e-3);
    EXPECT_NEAR(rates.pressure, gas_constant * 320.0 / 2e-3 * 3e-3, 1e-9);
    EXPECT_EQ(rates.temperature, 0.0);
}

// Conservation, analytic: mass pV/(RT) and internal energy c_v pV/R change by what flows.
TEST(Manifold, AdiabaticKeepsMassAndEnergy) {
    const ManifoldParameters p{
        .kind = ManifoldKind::adiabatic, .volume = 4e-3, .temperature = 330.0, .wall_conductance = 2.0};
    const auto c = manifold_coefficients(p);
    for (const double inflow : {6e-3, -2e-3}) {
        const double pressure = 6e4, temperature = 310.0, outside = 285.0, outflow = 3e-3;
        const auto rates = manifold_rates(c, pressure, temperature, inflow, outside, outflow);
        const double mass = pressure * p.volume / (gas_constant * temperature);
        const double mass_rate = mass * (rates.pressure / pressure - rates.temperature / temperature);
        EXPECT_NEAR(mass_rate, inflow - outflow, 1e-15);
        const double energy_rate = cv * p.volume / gas_constant * rates.pressure;
        const double entering = inflow < 0.0 ? temperature : outside;
        EXPECT_NEAR(energy_rate, cp * (inflow * entering - outflow * temperature) + 2.0 * (330.0 - 310.0), 1e-9);
    }
}

// Analytic: filling an adiabatic volume with gas at T_in heats it above T_in, toward γ T_in when it was empty.
TEST(Manifold, FillingHeatsTheGas) {
    const auto c = manifold_coefficients({.kind = ManifoldKind::adiabatic, .volume = 1e-3});
    std::array<double, 2> x{1e3, 290.0};
    const auto system = [&](const std::array<double, 2>& y, std::array<double, 2>& rate, double) {
        const auto r = manifold_rates(c, y[0], y[1], 1e-3, 290.0, 0.0);
        rate = {r.pressure, r.temperature};
    };
    support::integrate(system, x, 0.0, 2.0, 0.1, [](const auto&, double) {});
    EXPECT_NEAR(x[1], 1.4 * 290.0, 1.0);
    EXPECT_NEAR(x[0], 1e3 + 0.4 * cp * 290.0 * 2e-3 / 1e-3, 1.0);
}

TEST(Manifold, ALargeWallConductanceIsTheIsothermalManifold) {
    const auto warm =
        manifold_coefficients({.kind = ManifoldKind::adiabatic, .temperature = 328.0, .wall_conductance = 1e3});
    std::array<double, 2> x{3e4, 328.0};
    const auto system = [&](const std::array<double, 2>& y, std::array<double, 2>& rate, double) {
        const auto r = manifold_rates(warm, y[0], y[1], 3e-3, 290.0, 2e-3);
        rate = {r.pressure, r.temperature};
    };
    support::integrate(system, x, 0.0, 1.0, 0.1, [](const auto&, double) {});
    const double isothermal = 3e4 + gas_constant * 328.0 / 3e-3 * 1e-3;
    EXPECT_NEAR(x[0] / isothermal, 1.0, 0.003);
    EXPECT_NEAR(x[1], 328.0, 0.2);
}

TEST(Manifold, EveryFieldIsGuarded) { support::expect_every_field_guarded<ManifoldParameters>(); }

}  // namespace
