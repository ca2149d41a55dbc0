// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "twintrack/core/described.hpp"
#include "twintrack/engine/idle_parameters.hpp"
#include "twintrack/engine/mixture.hpp"
#include "twintrack/engine/model.hpp"

namespace twintrack::bench {

/// What key, starter and loads do while the foot makes its stroke. The key is on from time zero; the starter turns from
/// `start_at` until the engine runs by itself, at most for `start_for`. One load is switched on and off.
struct EngineCourse {
    double start_at = 0.5;            ///< [s]
    double start_for = 3.0;           ///< [s]
    std::optional<double> key_off;    ///< [s]; absent: never
    double electrical_power = 250.0;  ///< [W] all the time
    double accessory_from = 0.0;      ///< [s]
    double accessory_to = 0.0;        ///< [s]; not later than `accessory_from`: no load
    double accessory_torque = 0.0;    ///< [N·m] at the crank
    double accessory_power = 0.0;     ///< [W] beside the torque
    bool announced = true;            ///< the load is announced to the governor
};

[[nodiscard]] const Description& description(Tag<EngineCourse>);

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
    engine::MixtureParameters mixture;
    EngineCourse course;
};

[[nodiscard]] const Description& description(Tag<EngineSetup>);

void check(const EngineSetup& p, const std::string& path);

/// The built-in engines by name: "small-four" and "large-eight" (engine/examples.hpp).
[[nodiscard]] std::vector<EngineSetup> built_in_engines();

}  // namespace twintrack::bench
