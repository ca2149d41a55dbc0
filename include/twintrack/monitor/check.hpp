// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/described.hpp"

namespace twintrack::monitor {

/// What the monitor checks.
enum class Check {
    memory,
    not_learned,
    self_test,
    range,
    volts,
    rate,
    stuck,
    drift,
    correlation,
    outvoted,
    blind,
    deviation,
    not_closing,
    motion,
    return_spring,
    default_position,
    supply,
    reference,
    brake,
    brake_sensor,
    air_flow,
    idle_speed,
    idle_switch,
    resets,
    heat
};

constexpr std::array<std::pair<Check, const char*>, 25> names(Tag<Check>) {
    using C = Check;
    return {{{C::memory, "memory"},
             {C::not_learned, "not learned"},
             {C::self_test, "self test"},
             {C::range, "range"},
             {C::volts, "volts"},
             {C::rate, "rate"},
             {C::stuck, "stuck"},
             {C::drift, "drift"},
             {C::correlation, "correlation"},
             {C::outvoted, "outvoted"},
             {C::blind, "blind"},
             {C::deviation, "deviation"},
             {C::not_closing, "not closing"},
             {C::motion, "motion"},
             {C::return_spring, "return spring"},
             {C::default_position, "default position"},
             {C::supply, "supply"},
             {C::reference, "reference"},
             {C::brake, "brake"},
             {C::brake_sensor, "brake sensor"},
             {C::air_flow, "air flow"},
             {C::idle_speed, "idle speed"},
             {C::idle_switch, "idle switch"},
             {C::resets, "resets"},
             {C::heat, "heat"}}};
}

/// How bad ticks are counted (debounce.hpp).
enum class Counting { timer, counter };

constexpr std::array<std::pair<Counting, const char*>, 2> names(Tag<Counting>) {
    return {{{Counting::timer, "timer"}, {Counting::counter, "counter"}}};
}

/// How long a check's condition must last, and whether its state is kept.
struct CheckParameters {
    bool enabled = true;
    double confirm_time = 0.1;  ///< [s]
    double heal_time = 0.5;     ///< [s]
    bool latch = true;          ///< until key-off
    Counting counting = Counting::timer;
};

[[nodiscard]] const Description& description(Tag<CheckParameters>);

}  // namespace twintrack::monitor
