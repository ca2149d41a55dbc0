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

/// Invented demo data: four cylinders, 1.5 L, 650 rpm warm. Idle air, manifold pressure and the fast idle by coolant
/// are of the size logged on a 1.5 L vehicle (open on-board-diagnosis log); friction is near Heywood's curve. Its parts
/// are the default of every field.
[[nodiscard]] EngineExample small_four();

/// Invented demo data: eight cylinders, 4.6 L, 600 rpm warm; displacement, manifold volume 7.36 L and idle speed are
/// those of a university course's idle project (2023), the rest is scaled.
[[nodiscard]] EngineExample large_eight();

/// The idle-speed case of Guzzella & Onder, Introduction to Modeling and Control of Internal Combustion Engine Systems,
/// 2010: five cylinders, 2.5 L, parameters as identified in public course files. Valid about idle only: the efficiency
/// falls with speed and friction does not rise. Starter and stall speeds are ours.
[[nodiscard]] EngineParameters course_five();

}  // namespace twintrack::engine
