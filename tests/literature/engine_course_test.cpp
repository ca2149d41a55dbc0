// SPDX-License-Identifier: BSD-3-Clause
// Guzzella & Onder, Introduction to Modeling and Control of Internal Combustion Engine Systems, 2010, idle-speed case
// study (the book from memory): parameters, operating points and delays as in students' files of the course Engine
// Systems, ETH Zürich, 2017 and 2021 (repositories idleControl and EngineSystems; seen); derived
// figures computed from them independently of this library.
#include <gtest/gtest.h>

#include <cmath>

#include "support/integrate.hpp"
#include "twintrack/engine/engine.hpp"
#include "twintrack/engine/examples.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::engine;

constexpr double degree = pi / 180.0;
constexpr plant::Air course_air{.pressure = 1.0e5, .temperature = 298.0};

/// The case's throttle area is for ṁ = A p/√(2RT), i.e. Ψ* rounded to 1/√2; ours is for the true Ψ* of air.
double area(double percent) {
    const double course = 2.0336e-6 + 6.1287e-6 * percent;
    return course * std::sqrt(0.5) / plant::flow_function(plant::orifice(), 0.3);
}

/// Idles at a throttle opening [%] and a spark retard until nothing moves any more.
Engine idling(double percent, double retard) {
    Engine engine(course_five(), course_air);
    for (int k = 0; k < 40000; ++k)
        engine.step({.area = area(percent), .spark_retard = retard, .starter = k < 3000}, 1e-3);
    return engine;
}

// At 2.0 % and −25° the equations' solution is 107.4 rad/s, 23.9 kPa, 3.455 g/s; measured on the bench 107.85 rad/s and
// 3.5 g/s. Within 1 % of the former.
TEST(CourseEngine, IdleOperatingPoint) {
    const Engine engine = idling(2.0, 25.0 * degree);
    EXPECT_EQ(engine.status(), EngineStatus::running);
    EXPECT_NEAR(engine.speed() / 107.4, 1.0, 0.01);
    EXPECT_NEAR(engine.state().pressure / 23.9e3, 1.0, 0.01);
    EXPECT_NEAR(engine.present_flows().in / 3.455e-3, 1.0, 0.01);
    EXPECT_NEAR(engine.speed() / 107.85, 1.0, 0.02);
    EXPECT_NEAR(engine.present_flows().in / 3.5e-3, 1.0, 0.02);
}

// Without load the pressure hardly moves with the opening: only the speed does.
TEST(CourseEngine, PressureHardlyMovesWithTheOpening) {
    const Engine less = idling(1.8, 25.0 * degree), more = idling(2.2, 25.0 * degree);
    EXPECT_GT(more.speed() / less.speed(), 1.08);
    EXPECT_NEAR(more.state().pressure / less.state().pressure, 1.0, 0.03);
}

// Torque budget at 2.2 %: 25.5 N·m at best spark, 21.8 at −25°, pumping 15.0, friction 6.8: the spark can give 3.7 N·m.
TEST(CourseEngine, TorqueBudgetAndSparkAuthority) {
    const Engine engine = idling(2.2, 25.0 * degree);
    const auto torque = engine.present_torques();
    EXPECT_NEAR(torque.indicated, 21.8, 0.25);
    EXPECT_NEAR(-torque.pumping, 15.0, 0.2);
    EXPECT_NEAR(-torque.friction, 6.8, 0.1);
    const double best = torque.indicated / engine.drive().spark;
    EXPECT_NEAR(best, 25.5, 0.3);
    EXPECT_NEAR(best - torque.indicated, 3.7, 0.1);
}

// At 115 rad/s: spark acts after 10.9 ms, induction becomes power after 54 ms.
TEST(CourseEngine, Delays) {
    const auto p = course_five();
    EXPECT_NEAR(2.0 * pi / p.cylinders.count / 115.0, 10.9e-3, 0.05e-3);
    EXPECT_NEAR(p.cylinders.delay_angle / 115.0, 54e-3, 1e-3);
    Engine engine = idling(2.2, 25.0 * degree);
    const double before = engine.drive().spark;
    int felt = 0;
    while (engine.drive().spark < 0.5 * (1.0 + before))
        engine.step({.area = area(2.2), .spark_retard = 0.0}, 1e-3), ++felt;
    EXPECT_NEAR(felt * 1e-3, 2.0 * pi / 5.0 / engine.speed(), 1.5e-3);
}

// Manifold record of the same files: V_d 2.5 L, ε 10, 125 rad/s, 295 K, filling 1.038; a fit (ours, outside this
// library) gave 6.48 L isothermal or 9.07 L adiabatic, indistinguishable by the pressure, time constant about 0.24 s.
TEST(CourseEngine, ManifoldIsothermalOrAdiabatic) {
    const CylinderParameters cylinders{.displacement = 2.5e-3,
                                       .compression_ratio = 10.0,
                                       .filling_constant = 1.038,
                                       .filling_linear = 0.0,
                                       .filling_quadratic = 0.0,
                                       .air_share = 1.0};
    const auto pump = cylinder_coefficients(cylinders);
    const auto settled = [&](ManifoldKind kind, double volume, double& time_constant) {
        const auto c = manifold_coefficients({.kind = kind, .volume = volume, .temperature = 295.0});
        double inflow = 8.0e-3;
        const auto system = [&](const std::array<double, 2>& x, std::array<double, 2>& rate, double) {
            const double out = 125.0 * charge_per_radian(pump, x[0], x[1], 1e5, 125.0);
            const auto r = manifold_rates(c, x[0], x[1], inflow, 295.0, out);
            rate = {r.pressure, r.temperature};
        };
        std::array<double, 2> x{4e4, 295.0};
        const auto quiet = [](const auto&, double) {};
        support::integrate(system, x, 0.0, 20.0, 1.0, quiet);
        const double first = x[0];
        inflow = 8.2e-3;
        std::array<double, 2> end = x;
        support::integrate(system, end, 0.0, 20.0, 1.0, quiet);
        const double wanted = first + (1.0 - std::exp(-1.0)) * (end[0] - first);
        time_constant = 0.0;
        support::integrate(system, x, 0.0, 2.0, 1e-3, [&](const auto& now, double t) {
            if (now[0] < wanted) time_constant = t;
        });
        return end[0];
    };
    double isothermal = 0.0, adiabatic = 0.0;
    const double one = settled(ManifoldKind::isothermal, 6.48e-3, isothermal);
    const double two = settled(ManifoldKind::adiabatic, 9.07e-3, adiabatic);
    EXPECT_NEAR(one / two, 1.0, 1e-6);
    EXPECT_NEAR(isothermal, 0.24, 0.012);
    EXPECT_NEAR(adiabatic, isothermal, 0.005);
}

}  // namespace
