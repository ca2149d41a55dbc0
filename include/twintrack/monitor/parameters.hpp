// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/monitor/blade_checks.hpp"
#include "twintrack/monitor/correlation.hpp"
#include "twintrack/monitor/electronics.hpp"
#include "twintrack/monitor/function_monitor.hpp"
#include "twintrack/monitor/idle_speed.hpp"
#include "twintrack/monitor/reaction_table.hpp"
#include "twintrack/monitor/shutdown_device.hpp"
#include "twintrack/monitor/surroundings.hpp"
#include "twintrack/monitor/track_checks.hpp"

namespace twintrack::monitor {

/// How the motor is switched off: leads open, or shorted together, which returns the blade several times
/// slower (lib/plant).
enum class MotorOff { high_impedance, braking };

constexpr std::array<std::pair<MotorOff, const char*>, 2> names(Tag<MotorOff>) {
    return {{{MotorOff::high_impedance, "high_impedance"}, {MotorOff::braking, "braking"}}};
}

/// Thresholds of all checks, and what follows. Defaults: the student-competition rules 2024 (T.4.2.4–5, IC.4.4.3–4,
/// IC.4.7.2: 10 % for more than 100 ms between tracks, 10 % for more than 1 s between target and position, a second
/// more for the blade to close); the electrical band 4 … 96 % follows the published diagnostic bands (the rules give
/// 10 … 90 % as an example only, which a half-slope track leaves). Where those give no value, wide enough that healthy
/// benches are quiet (page of this folder).
struct MonitorParameters {
    double band_low = 0.04;  ///< [share of full scale]
    double band_high = 0.96;
    double correlation_limit = 0.10;  ///< [share of travel]
    double deviation_limit = 0.10;    ///< [share of travel]
    CheckParameters range{};
    CheckParameters correlation{};
    /// Blind driving: the time without a usable track of an assembly adds up over all checks, whatever each
    /// made of it, and so much good sight wears it off. A little above the longest single debouncing, so that a fault
    /// with a name of its own is called by that (both times this bench's own).
    CheckParameters blind{.confirm_time = 0.11, .heal_time = 2.0, .counting = Counting::counter};
    CheckParameters deviation{.confirm_time = 1.0};
    CheckParameters not_closing{.confirm_time = 1.0};
    VoltsBandParameters volts_band{};
    VoltsParameters volts{};
    RateParameters rate{};
    StuckParameters stuck{};
    DriftParameters drift{};
    MotionParameters motion{};
    SpringParameters return_spring{};
    DefaultParameters default_position{};
    WindowParameters supply{6.0, 18.0, {.confirm_time = 0.5, .latch = false}};
    WindowParameters reference{4.5, 5.5};  ///< of published lists, second hand
    ElectronicsParameters electronics{};
    BrakeCheckParameters brake{};
    IdleSwitchCheckParameters idle_switch{};
    AirFlowParameters air_flow{};
    IdleSpeedParameters idle_speed{};
    bool fallback = true;         ///< a track that looks bad is left out at once, before its fault is confirmed
    double fallback_time = 0.02;  ///< [s] a track must be valid before it is used again
    FunctionMonitorParameters function_monitor{};
    ShutdownDeviceParameters device{};
    MotorOff motor_off_by = MotorOff::high_impedance;
    Ladder ladder{};
    std::vector<ReactionRow> reactions = competition_reactions();
};

[[nodiscard]] const Description& description(Tag<MonitorParameters>);

/// Set-ups to compare side by side; their numbers are this bench's own. The default is `MonitorParameters{}`.
///
///     strict     narrow and quick: 6 % between tracks for 50 ms, 8 % off the set point for 300 ms, every check made,
///                the function monitor and the device of IC.4.8
///     graded     the default's thresholds with the graded ladder of reactions, and the function monitor
///     careless   each track alone, 1 … 99 % for 1 s, 30 % off the set point for 3 s, nothing else, no fallback
///     unwatched  no check, no reaction: what a fault does without a monitor
[[nodiscard]] MonitorParameters strict();
[[nodiscard]] MonitorParameters graded();
[[nodiscard]] MonitorParameters careless();
[[nodiscard]] MonitorParameters unwatched();

}  // namespace twintrack::monitor
