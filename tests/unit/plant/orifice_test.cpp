// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/orifice.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack::plant;

// Analytic, computed from the formula in Heywood, Internal Combustion Engine Fundamentals, 1988, App. C (form from
// memory): critical ratio and choked flow function.
TEST(Orifice, CriticalRatioAndChokedFlow) {
    constexpr std::array<std::array<double, 3>, 3> rows = {
        {{1.40, 0.52828, 0.68473}, {1.35, 0.53685, 0.67614}, {1.30, 0.54573, 0.66726}}};
    for (const auto& [gamma, ratio, psi] : rows) {
        const Orifice o = orifice(gamma);
        EXPECT_NEAR(o.critical_ratio, ratio, 6e-6);
        EXPECT_NEAR(flow_function(o, 0.5 * o.critical_ratio), psi, 6e-6);
        EXPECT_NEAR(flow_function(o, 0.0), psi, 6e-6);
    }
}

// The same formula: Ψ/Ψ* for γ = 1.4.
TEST(Orifice, SubsonicFlow) {
    constexpr std::array<std::array<double, 2>, 7> rows = {{{0.6, 0.98859},
                                                            {0.7, 0.93222},
                                                            {0.8, 0.81880},
                                                            {0.9, 0.61715},
                                                            {0.95, 0.44929},
                                                            {0.98, 0.28894},
                                                            {0.99, 0.20543}}};
    const Orifice o = orifice();
    for (const auto& [r, share] : rows) EXPECT_NEAR(flow_function(o, r) / flow_function(o, 0.3), share, 6e-6) << r;
}

// Choked mass flux at 101,325 Pa, R 287.05 (ours 287.053: 1 in 200,000; formula as above, form also in public
// gas-dynamics course notes).
TEST(Orifice, ChokedMassFlux) {
    constexpr std::array<std::array<double, 2>, 6> rows = {
        {{273.15, 247.78}, {288.15, 241.24}, {293.15, 239.17}, {298.15, 237.16}, {323.15, 227.80}, {353.15, 217.91}}};
    const Orifice o = orifice();
    for (const auto& [temperature, flux] : rows)
        EXPECT_NEAR(orifice_flow(o, 1.0, {101325.0, temperature}, {20000.0, 300.0}), flux, 0.008) << temperature;
}

// Çengel & Cimbala, Fluid Mechanics, example 12-6 (inputs seen second-hand, answer from memory): air at 1.0 MPa and
// 800 K through a throat of 20 cm², choked, 2.86 kg/s; the book's R is 287.
TEST(Orifice, TextbookNozzle) {
    EXPECT_NEAR(orifice_flow(orifice(1.4), 20e-4, {1.0e6, 800.0}, {1.0e5, 300.0}), 2.86, 0.005);
}

TEST(Orifice, ValueAndSlopeMeetWhereTheParabolaBegins) {
    for (const double gamma : {1.3, 1.4}) {
        const Orifice o = orifice(gamma);
        constexpr double edge = Orifice::linear_from, step = 1e-6;
        const double middle = flow_function(o, edge);
        const double left = (middle - flow_function(o, edge - step)) / step;
        const double right = (flow_function(o, edge + step) - middle) / step;
        EXPECT_NEAR(right / left, 1.0, 3e-4);
        EXPECT_EQ(flow_function(o, 1.0), 0.0);
        EXPECT_NEAR(o.slope, 1.5, 0.01);
    }
}

TEST(Orifice, FlowNeverRisesWithThePressureRatio) {
    const Orifice o = orifice();
    double last = flow_function(o, 0.0);
    for (int k = 1; k <= 10000; ++k) {
        const double now = flow_function(o, k * 1e-4);
        ASSERT_LE(now, last + 1e-15) << k;
        last = now;
    }
}

TEST(Orifice, RunsBothWaysWithTheTemperatureOfItsSource) {
    const Orifice o = orifice();
    const GasState<double> warm{100000.0, 350.0}, cold{80000.0, 280.0};
    EXPECT_GT(orifice_flow(o, 1e-5, warm, cold), 0.0);
    EXPECT_DOUBLE_EQ(orifice_flow(o, 1e-5, warm, cold), -orifice_flow(o, 1e-5, cold, warm));
    EXPECT_NEAR(orifice_flow(o, 1e-5, warm, cold) / orifice_flow(o, 1e-5, {100000.0, 280.0}, cold),
                std::sqrt(280.0 / 350.0), 1e-14);
    EXPECT_EQ(orifice_flow(o, 1e-5, warm, {100000.0, 280.0}), 0.0);
}

TEST(Orifice, RefusesAnImpossibleGas) { EXPECT_THROW((void)orifice(1.0), twintrack::InvalidParameter); }

}  // namespace
