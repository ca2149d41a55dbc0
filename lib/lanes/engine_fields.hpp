// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "own_table.hpp"
#include "twintrack/engine/engine_step.hpp"
#include "twintrack/engine/idle_law.hpp"
#include "twintrack/plant/air_path.hpp"

/// The engine behind a lane's throttle. As in fields.hpp every member is a number T.
namespace twintrack::lanes {

template <class T>
struct EngineFields {
    T there;  ///< 1: there is one
    // What the case says.
    engine::ManifoldCoefficients<T> manifold;
    engine::CylinderCoefficients<T> cylinders;
    engine::RotationCoefficients<T> rotation;
    engine::StepCoefficients<T> turn;
    engine::IdleCoefficients<T> idle;
    plant::AirPathCoefficients<T> path;
    plant::GasState<T> air;                               ///< outside
    T span;                                               ///< [s] of a step
    T cold, goal, base;                                   ///< by the coolant: factor on friction, idle speed and area
    T start_from, start_to, key_off, load_from, load_to;  ///< numbers of the first ticks at which it is so
    T power, load_power, load_torque, announced;          ///< as in bench::EngineCourse
    T leak;                                               ///< [m²] of a vacuum leak
    // When the monitor must look: of its idle and air flow checks.
    T run_delay, release_delay;  ///< [us]
    T released_pedal;            ///< [share of travel]
    T below, above, at_limit;    ///< [rad/s]; 1: a governor at its limit is looked at
    T flow_floor, flow_margin;   ///< [kg/s]; factor on the choked flow
    // What moves.
    engine::EngineState<T> state;
    engine::IdleState<T> governor;
    engine::IdleAnswer<T> asked;
    OwnTable<T> opening, choked;    ///< opening by area; choked flow by opening
    T started, key, starter, load;  ///< it has run; key on; starter requested; load applied
    T fuel;                         ///< 1: permitted
    T area;                         ///< [m²] at the blade's angle
    T idle_opening, idle_before;    ///< requested by the governor, now and at the tick before
    T torque;                       ///< of the air on the blade [N·m]
    T ran, foot_off;                ///< [us] how long, as the monitor's idle check counts it; −1: not
    T needs_host;                   ///< 1: idle or air flow are outside the monitor's limits
};

/// A lane's row of memory.
inline constexpr int ring_places = 2 * static_cast<int>(engine::delay_slots);
inline constexpr TablePlace opening_place{2 * ring_places, 256}, choked_place{2 * ring_places + 512, 64};
inline constexpr int engine_places = 2 * ring_places + 512 + 128;
using EngineRows = Rows<engine_places>;

}  // namespace twintrack::lanes
