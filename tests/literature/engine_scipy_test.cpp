// SPDX-License-Identifier: BSD-3-Clause
// SciPy's solve_ivp (RK45, tolerance 1e-9) on an engine written independently from the literature's equations,
// tests/python/engine_reference.py, which prints this table: start, more air, an accessory on and off, less spark
// retard, more air still. The library's step of 1 ms must stay within 0.1 rpm of it over 20 s.
#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "twintrack/engine/engine.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::engine;

Input scene(int tick) {
    Input in;
    in.starter = tick >= 200 && tick < 3000;
    in.area = tick < 5000 ? 7.5e-6 : tick < 17000 ? 9.5e-6 : 25e-6;
    in.spark_retard = tick < 15000 ? 0.35 : 0.10;
    in.accessory_torque = tick >= 9000 && tick < 13000 ? 6.0 : 0.0;
    in.electrical_power = 250.0;
    return in;
}

TEST(EngineBesideSciPy, SpeedWithinATenthOfAnRpm) {
    constexpr std::array<std::array<double, 3>, 20> reference = {{
        {1, 1610.4391, 20360.014},  {2, 913.4402, 19421.558},   {3, 596.3231, 28040.439},   {4, 715.3145, 27992.017},
        {5, 714.0063, 26350.099},   {6, 902.1824, 28099.990},   {7, 934.7059, 25664.949},   {8, 911.8441, 26147.757},
        {9, 913.9466, 26206.032},   {10, 644.3289, 32713.707},  {11, 746.2236, 32242.950},  {12, 722.2551, 31453.659},
        {13, 717.6533, 32144.215},  {14, 965.3767, 25830.717},  {15, 918.9653, 25802.857},  {16, 1003.5395, 24555.765},
        {17, 1002.7881, 24245.694}, {18, 2070.0203, 29986.347}, {19, 2322.7805, 26213.143}, {20, 2390.7419, 25500.833},
    }};
    Engine engine(EngineParameters{}, {});
    int tick = 0;
    for (const auto& [second, rpm, pressure] : reference) {
        for (; tick < 1000 * static_cast<int>(second); ++tick) engine.step(scene(tick), 1e-3);
        EXPECT_NEAR(engine.speed() * 30.0 / pi, rpm, 0.1) << second << " s";
        EXPECT_NEAR(engine.state().pressure, pressure, 10.0) << second << " s";
    }
}

}  // namespace
