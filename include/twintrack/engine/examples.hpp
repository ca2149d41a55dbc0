// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/engine/idle_parameters.hpp"
#include "twintrack/engine/model.hpp"
#include "twintrack/plant/air_path.hpp"

/// Engines to start from, each with a fitting air path and governor.
namespace twintrack::engine {

struct EngineExample {
    EngineParameters engine;
    plant::AirPathParameters air_path;
    IdleParameters idle;
};

/// Invented demo data: four cylinders, 1.5 L, 660 rpm warm, round values of our own; friction is near Heywood's curve.
/// Magnitudes were checked against one log of a 1.5 L vehicle (page of the folder). Its parts are the default of every
/// field.
[[nodiscard]] EngineExample small_four();

/// Invented demo data: eight cylinders, 4.8 L, manifold 7 L, 600 rpm warm; round values of our own.
[[nodiscard]] EngineExample large_eight();

/// The idle-speed case of Guzzella & Onder, Introduction to Modeling and Control of Internal Combustion Engine Systems,
/// 2010: five cylinders, 2.5 L, parameters as identified in students' files of the course Engine Systems (ETH Zürich,
/// 2017 and 2021; repositories idleControl and EngineSystems; read, not copied). Valid about idle only: the efficiency
/// falls with speed and friction does not rise. Starter and stall speeds are ours.
[[nodiscard]] EngineParameters course_five();

}  // namespace twintrack::engine
