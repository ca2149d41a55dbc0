// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>

#include "twintrack/core/described.hpp"
#include "twintrack/core/time.hpp"
#include "twintrack/plant/bridge_guard.hpp"
#include "twintrack/sensing/assembly.hpp"

namespace twintrack::control {

using Readings = std::array<double, sensing::max_tracks>;
/// Which tracks of an assembly may be used at this tick.
using Trust = std::array<bool, sensing::max_tracks>;

/// What is measured of an engine, and what its idle governor says.
struct EngineReadings {
    bool running = false;         ///< it burns by itself
    double speed = 0.0;           ///< [rad/s]
    double coolant = 0.0;         ///< [°C]
    double idle_goal = 0.0;       ///< [rad/s] idle speed for the coolant temperature
    double idle_authority = 0.5;  ///< share of the governor's air above its request; 0 and 1: at a limit
};

/// What the pedal's idle-validation switch says.
enum class IdleContact { absent, foot_off, foot_on };

/// All inputs of a controller at a tick.
struct Input {
    Time time{};                                 ///< since key-on; to a controller, since it booted
    Readings pedal{};                            ///< [share of converter full scale]; unused tracks are 0
    Readings throttle{};                         ///< [share of converter full scale]
    double supply = 0.0;                         ///< [V] measured
    Readings pedal_reference{5.0, 5.0, 5.0};     ///< [V] at the reference pins of its tracks
    Readings throttle_reference{5.0, 5.0, 5.0};  ///< [V]
    double motor_current = 0.0;                  ///< [A] measured by the bridge
    plant::BridgeStatus bridge{};                ///< what the bridge reports of itself
    bool motor_permitted = true;                 ///< false: the monitor removes power from the motor
    bool key_on = true;        ///< false: the key has been turned off, the controller runs on for a while
    bool engine_still = true;  ///< false: the engine turns

    double idle_opening = 0.0;  ///< opening that idling needs; the demand is never less [share of travel]
    double air_flow = 0.0;      ///< [kg/s] measured; 0 without an air meter
    EngineReadings engine{};
    IdleContact idle_contact = IdleContact::absent;
    double brake = 0.14;  ///< reading of the brake's sensor [share of converter full scale]
    bool brake_applied = false;
    bool brake_hard = false;

    // What the monitor orders, beside motor_permitted.
    double demand_limit = 1.0;  ///< the demand must not exceed it [share of travel]; at rest it may stay
    double demand_slope = 0.0;  ///< [1/s] nor rise faster; 0: as fast as it likes
    bool lowest_track = false;  ///< of the pedal's tracks the lowest counts
    Trust pedal_trust{true, true, true};
    Trust throttle_trust{true, true, true};
};

/// The test of default position and return spring at key-on.
enum class SelfTest {
    none,           ///< not requested
    under_way,      ///< the loop is not closed yet
    passed,         ///< both were found well
    default_wrong,  ///< the unpowered blade is not where it was learned
    no_twitch,      ///< the motor did not move the blade
    no_return       ///< the springs did not take back what the motor had opened
};

constexpr std::array<std::pair<SelfTest, const char*>, 6> names(Tag<SelfTest>) {
    using T = SelfTest;
    return {{{T::none, "none"},
             {T::under_way, "under way"},
             {T::passed, "passed"},
             {T::default_wrong, "default wrong"},
             {T::no_twitch, "no twitch"},
             {T::no_return, "no return"}}};
}

[[nodiscard]] constexpr bool failed(SelfTest t) noexcept { return t > SelfTest::passed; }

/// A controller's output.
struct Command {
    plant::BridgeMode mode = plant::BridgeMode::high_impedance;
    double duty = 0.0;       ///< −1 … 1, opening positive
    double pedal = 0.0;      ///< pedal position by its tracks [share of learned travel]
    double demand = 0.0;     ///< opening that the pedal demands [share of learned travel]
    double set_point = 0.0;  ///< target of the position loop
    double opening = 0.0;    ///< opening by its tracks
    SelfTest self_test = SelfTest::none;
};

}  // namespace twintrack::control
