// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/described.hpp"

namespace twintrack::wiring {

/// Which reference pins share a regulator.
enum class References { one, per_assembly, per_pin };

constexpr std::array<std::pair<References, const char*>, 3> names(Tag<References>) {
    return {{{References::one, "one"}, {References::per_assembly, "per_assembly"}, {References::per_pin, "per_pin"}}};
}

/// Where an open signal pin is pulled.
enum class Pull { down, up };

constexpr std::array<std::pair<Pull, const char*>, 2> names(Tag<Pull>) {
    return {{{Pull::down, "down"}, {Pull::up, "up"}}};
}

/// The controller's side of the wiring:
///
///     reference pin ── trace ── regulator (U_ref, R, limits) ── controller ground
///     return pin ── trace ── controller ground
///     signal pin ──┬── R_series ── converter input ─┬ clamp to the internal supply
///                  └── pull resistor                └ clamp from the controller ground
///     motor pins: one averaged leg each, freewheel diodes, a resistor to ground that finds open leads
///     controller ground ── wire ── (ground offset) ── ground;  battery ── R_supply ── wire ── controller supply
///
/// The internal supply is the converter's reference; the regulators track it. Values: common practice, no source (pull
/// resistors 47 … 220 kΩ and series resistors 1 … 10 kΩ from memory).
struct ControllerSideParameters {
    References references = References::per_assembly;
    double regulator_resistance = 0.05;  ///< [Ω]
    double source_limit = 0.06;          ///< [A] of each regulator
    double sink_limit = 0.005;           ///< [A]
    double limit_resistance = 1e5;       ///< [Ω] slope in limitation
    double trace_resistance = 0.01;      ///< [Ω] between pin and regulator or ground
    Pull pull = Pull::down;
    double pull_resistance = 220e3;        ///< [Ω]
    double series_resistance = 4700.0;     ///< [Ω]
    double clamp_drop = 0.6;               ///< [V]
    double clamp_resistance = 10.0;        ///< [Ω]
    double consumption_resistance = 60.0;  ///< [Ω] what the controller itself takes from its supply
    double motor_pin_resistance = 10e3;    ///< [Ω] from each motor pin to ground
    double input_capacitance = 1e-8;       ///< [F] from signal pin to ground
    double edge_time = 1e-7;               ///< [s] in which a leg of the bridge switches
};

[[nodiscard]] const Description& description(Tag<ControllerSideParameters>);

}  // namespace twintrack::wiring
