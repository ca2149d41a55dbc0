// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/wire.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "twintrack/wiring/edit.hpp"
#include "twintrack/wiring/solver.hpp"

namespace {

using namespace twintrack::wiring;

// Analytic, from the coefficient 0.00393 /K (IEC 60028 as commonly listed).
TEST(Wire, CopperGrowsWithTemperature) {
    EXPECT_NEAR(copper_factor(-40), 0.76420, 1e-12);
    EXPECT_NEAR(copper_factor(0), 0.92140, 1e-12);
    EXPECT_NEAR(copper_factor(20), 1.0, 1e-15);
    EXPECT_NEAR(copper_factor(85), 1.25545, 1e-12);
    EXPECT_NEAR(copper_factor(125), 1.41265, 1e-12);
    // IEC 60228's correction from 100 °C to 20 °C is 0.758 (as listed publicly); ours is linear: within 0.5 %.
    EXPECT_NEAR(1.0 / copper_factor(100), 0.758, 0.005 * 0.758);
}

// Areas and resistances of the gauges, computed from the published diameter formula and 1/58 MS/m.
TEST(Wire, AmericanGauges) {
    const struct {
        int gauge;
        double area_mm2, milliohms;
    } rows[] = {{10, 5.261, 3.277},  {12, 3.309, 5.211},  {14, 2.081, 8.286},  {16, 1.309, 13.174}, {18, 0.823, 20.948},
                {20, 0.518, 33.309}, {22, 0.326, 52.963}, {24, 0.205, 84.215}, {26, 0.129, 133.91}};
    for (const auto& row : rows) {
        const double d = awg_diameter(row.gauge);
        EXPECT_NEAR(0.7853981633974483 * d * d * 1e6, row.area_mm2, 0.0006) << row.gauge;
        EXPECT_NEAR(awg_resistance(row.gauge) * 1e3, row.milliohms, 6e-5 * row.milliohms) << row.gauge;
    }
    EXPECT_NEAR(awg_diameter(36), 0.127e-3, 1e-18);  // exact by definition
}

// A stranded cable may be worse than solid copper of its section, never better: IEC 60028 against ISO 6722-1 (memory).
TEST(Wire, CablesAreALittleWorseThanPureCopper) {
    for (const double mm2 : {0.22, 0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0}) {
        const double pure = copper_resistivity / (mm2 * 1e-6);
        EXPECT_GT(cable_resistance(mm2), 1.06 * pure) << mm2;
        EXPECT_LT(cable_resistance(mm2), 1.12 * pure) << mm2;
    }
}

// IEC 60228 class 5 limits (as listed publicly) for the same sections are the looser ones, by 2 … 6 %.
TEST(Wire, CablesLieInsideTheLimitsOfFlexibleConductors) {
    const struct {
        double mm2, milliohms;
    } rows[] = {{0.5, 39.0}, {0.75, 26.0}, {1.0, 19.5}, {1.5, 13.3}, {2.5, 7.98}, {4, 4.95}, {6, 3.30}};
    for (const auto& row : rows) {
        EXPECT_LT(cable_resistance(row.mm2) * 1e3, row.milliohms);
        EXPECT_GT(cable_resistance(row.mm2) * 1e3, 0.94 * row.milliohms);
    }
}

// Analytic: a 5 V sensor fed through 3 m of 0.35 mm² both ways, 54.4 mΩ/m (ISO 6722-1, from memory): 0.326 Ω, 3.3 mV
// at 10 mA.
TEST(Wire, DropOfAReferencePair) {
    const WireParameters one{.section_mm2 = 0.35, .length = 3.0, .contacts = 0};
    EXPECT_NEAR(2 * resistance(one), 0.3264, 1e-12);
    Netlist net;
    const Node reference = net.node("reference"), high = net.node("high"), low = net.node("low");
    net.voltage_sources = {{"reference", reference, 0, 5.0, 0.0}};
    net.resistors = {{"feed", reference, high, resistance(one)}, {"return", low, 0, resistance(one)}};
    net.current_sources = {{"sensor", high, low, 0.010}};
    const Solution s = solve(net);
    ASSERT_TRUE(s.ok());
    EXPECT_NEAR(5.0 - (s.voltages[2] - s.voltages[3]), 3.264e-3, 1e-12);
}

TEST(Wire, ContactsSplicesAndWarmthAdd) {
    const WireParameters p{.section_mm2 = 1.0,
                           .length = 2.0,
                           .temperature = 85.0,
                           .contacts = 4,
                           .contact_resistance = 0.01,
                           .splices = 1,
                           .splice_resistance = 0.002};
    EXPECT_NEAR(resistance(p), 2 * 0.0185 * 1.25545 + 0.042, 1e-15);
}

TEST(Wire, RefusesWhatIsNoWire) {
    EXPECT_THROW(static_cast<void>(cable_resistance(0.6)), twintrack::InvalidParameter);
    EXPECT_THROW(static_cast<void>(awg_diameter(41)), twintrack::InvalidParameter);
    EXPECT_THROW(static_cast<void>(copper_factor(std::numeric_limits<double>::infinity())),
                 twintrack::InvalidParameter);
    EXPECT_THROW(static_cast<void>(resistance({.length = -1.0})), twintrack::InvalidParameter);
    EXPECT_THROW(static_cast<void>(resistance({.section_mm2 = 0.3})), twintrack::InvalidParameter);
}

}  // namespace
