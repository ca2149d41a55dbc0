// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "twintrack/core/fields.hpp"
#include "twintrack/engine/idle_parameters.hpp"
#include "twintrack/engine/model.hpp"

namespace twintrack::bench {

/// What key, starter and loads do while the foot makes its stroke. The key is on from time zero; the starter turns from
/// `start_at` until the engine runs by itself, at most for `start_for`. One load comes and goes.
struct EngineCourse {
    double start_at = 0.5;            ///< [s]
    double start_for = 3.0;           ///< [s]
    std::optional<double> key_off;    ///< [s]; absent: never
    double electrical_power = 250.0;  ///< [W] all the time
    double accessory_from = 0.0;      ///< [s]
    double accessory_to = 0.0;        ///< [s]; not later than `accessory_from`: no load
    double accessory_torque = 0.0;    ///< [N·m] at the crank
    double accessory_power = 0.0;     ///< [W] beside the torque
    bool announced = true;            ///< the governor is told of the load
};

constexpr auto fields(Tag<EngineCourse>) {
    using P = EngineCourse;
    return std::make_tuple(
        Field<P, double>{&P::start_at, "start_at", "s", "when the starter begins to turn", {0.0, 1e6}},
        Field<P, double>{&P::start_for, "start_for", "s", "longest time the starter turns", {0.0, 60.0}},
        Field<P, std::optional<double>>{&P::key_off, "key_off", "s", "when the key is turned off", {0.0, 1e6}},
        Field<P, double>{&P::electrical_power, "electrical_power", "W", "electrical load", {0.0, 1e4}},
        Field<P, double>{&P::accessory_from, "accessory_from", "s", "when a load comes", {0.0, 1e6}},
        Field<P, double>{&P::accessory_to, "accessory_to", "s", "when the load goes", {0.0, 1e6}},
        Field<P, double>{&P::accessory_torque, "accessory_torque", "N*m", "torque of the load", {0.0, 200.0}},
        Field<P, double>{&P::accessory_power, "accessory_power", "W", "electrical power of the load", {0.0, 1e4}},
        Field<P, bool>{&P::announced, "announced", "", "the idle governor is told of the load"});
}

/// The engine behind a bench's throttle: a mean-value engine, its idle governor, the air around it and what it is
/// asked. The blade's bore is the throttle body's (`air_path` of the body).
struct EngineSetup {
    std::string name = "small-four";
    std::string origin = "invented for demonstration";  ///< where the numbers come from
    engine::EngineParameters model;
    engine::IdleParameters idle;
    double learned_air = 0.0;  ///< [m²] idle air learned in earlier key cycles
    double altitude = 0.0;     ///< [m] standard atmosphere
    double coolant = 85.0;     ///< [°C]
    bool air_meter = true;     ///< the controller measures the air ahead of the throttle
    EngineCourse course;
};

constexpr auto fields(Tag<EngineSetup>) {
    using P = EngineSetup;
    return std::make_tuple(
        Field<P, std::string>{&P::name, "name", "", "name of the engine"},
        Field<P, std::string>{&P::origin, "origin", "", "what the numbers rest on"},
        Field<P, engine::EngineParameters>{&P::model, "model", "", "manifold, cylinders, crankshaft"},
        Field<P, engine::IdleParameters>{&P::idle, "idle", "", "idle governor"},
        Field<P, double>{&P::learned_air, "learned_air", "m^2", "idle air learned before", {-1e-3, 1e-3}},
        Field<P, double>{&P::altitude, "altitude", "m", "height above the sea", {-1000.0, 11000.0}},
        Field<P, double>{&P::coolant, "coolant", "degC", "coolant temperature", {-60.0, 200.0}},
        Field<P, bool>{&P::air_meter, "air_meter", "", "air is measured ahead of the throttle"},
        Field<P, EngineCourse>{&P::course, "course", "", "what key, starter and loads do"});
}

void check(const EngineSetup& p, const std::string& path);

/// The built-in engines by name: "small-four" and "large-eight" (engine/examples.hpp).
[[nodiscard]] std::vector<EngineSetup> built_in_engines();

}  // namespace twintrack::bench
