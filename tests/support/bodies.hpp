// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "twintrack/plant/throttle_body.hpp"

/// Throttle bodies that the tests run on.
namespace support {

struct Body {
    std::string name;
    twintrack::plant::BodyMechanics mechanics;
};

/// Set A: Loh, Thanom, Pyko, Lee, "Electronic Throttle Control System: Modeling, Identification and Model-Based Control
/// Designs", Engineering 5:587–600, 2013 (read second-hand in a public script citing the paper): R, L, K, J, viscous
/// and Coulomb friction, return spring. Angles count from the default position. Invented: the opener spring, the
/// stops, the bristle (1 mrad of presliding).
[[nodiscard]] inline twintrack::plant::BodyMechanics set_a() {
    twintrack::plant::BodyMechanics b;
    b.inertia = 0.0021;
    b.motor = {.resistance = 1.5, .inductance = 1.5e-3, .constant = 0.383, .gear_ratio = 1.0};
    b.springs = {.rest_angle = 0.0,
                 .open_preload = 0.396,
                 .open_rate = 0.087,
                 .close_preload = 0.2,
                 .close_rate = 0.08,
                 .width = 1e-4};
    b.friction = {.coulomb = 0.284,
                  .breakaway = 0.284,
                  .viscous = 0.0088,
                  .bristle_stiffness = 284.0,
                  .bristle_damping = 0.5,
                  .smoothing_speed = 0.01};
    b.stops = {.closed_angle = -0.12, .open_angle = 1.45, .stiffness = 1e4, .damping = 0.3};
    return b;
}

/// Set B: P. G. Griffiths, "Embedded Software Control Design for an Electronic Throttle Body", MS thesis, UC Berkeley,
/// 2002, values of its initialisation file (inertia assumed there; one spring, neutral at −0.25 rad). Invented: the
/// bristle and the stops' stiffness.
[[nodiscard]] inline twintrack::plant::BodyMechanics set_b() {
    constexpr double degree = 0.017453292519943295;
    twintrack::plant::BodyMechanics b;
    b.inertia = 5e-5;
    b.motor = {.resistance = 1.7, .inductance = 1.5e-3, .constant = 140.0 * 1.7 * 5e-5, .gear_ratio = 1.0};
    b.springs = {.rest_angle = -0.25,
                 .open_preload = 0.0,
                 .open_rate = 390.0 * 5e-5,
                 .close_preload = 0.0,
                 .close_rate = 390.0 * 5e-5,
                 .width = 1e-4};
    b.friction = {.coulomb = 140.0 * 5e-5,
                  .breakaway = 140.0 * 5e-5,
                  .viscous = 0.1 * 5e-5,
                  .bristle_stiffness = 7.0,
                  .bristle_damping = 0.026};
    b.stops = {.closed_angle = 0.2 * degree, .open_angle = 89.8 * degree, .stiffness = 100.0, .damping = 0.3};
    return b;
}

/// Invented: everything a body can have at once — two springs, Stribeck friction, a lossy gear, brushes, a hot winding.
[[nodiscard]] inline twintrack::plant::BodyMechanics lossy() {
    twintrack::plant::BodyMechanics b;
    b.motor.brush_drop = 0.6;
    b.motor.temperature = 90.0;
    b.motor.gear_efficiency = 0.8;
    return b;
}

[[nodiscard]] inline twintrack::plant::BodyMechanics with_simple_friction(twintrack::plant::BodyMechanics b) {
    b.friction.kind = twintrack::plant::FrictionKind::simple;
    return b;
}

[[nodiscard]] inline std::vector<Body> bodies() {
    return {{"SetA", set_a()},
            {"SetB", set_b()},
            {"Invented", {}},
            {"InventedLossy", lossy()},
            {"SetASimple", with_simple_friction(set_a())},
            {"InventedLossySimple", with_simple_friction(lossy())}};
}

/// For the names of parametrised tests.
[[nodiscard]] inline std::string name(const testing::TestParamInfo<Body>& test) { return test.param.name; }

inline void PrintTo(const Body& b, std::ostream* out) { *out << b.name; }

}  // namespace support
