// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/fields.hpp"

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

constexpr auto fields(Tag<ControllerSideParameters>) {
    using P = ControllerSideParameters;
    constexpr Range positive = {1e-3, 1e9};
    return std::make_tuple(
        Field<P, References>{&P::references, "references", "", "reference pins that share a regulator"},
        Field<P, double>{&P::regulator_resistance, "regulator_resistance", "ohm", "inner resistance of a regulator",
                         positive},
        Field<P, double>{&P::source_limit, "source_limit", "A", "largest current a regulator delivers", {0.0, 10.0}},
        Field<P, double>{&P::sink_limit, "sink_limit", "A", "largest current a regulator takes in", {0.0, 10.0}},
        Field<P, double>{&P::limit_resistance, "limit_resistance", "ohm", "slope of a regulator in limitation",
                         positive},
        Field<P, double>{&P::trace_resistance, "trace_resistance", "ohm", "from pin to regulator or ground", positive},
        Field<P, Pull>{&P::pull, "pull", "", "where an open signal pin is pulled"},
        Field<P, double>{&P::pull_resistance, "pull_resistance", "ohm", "pull resistor", positive},
        Field<P, double>{&P::series_resistance, "series_resistance", "ohm", "from signal pin to converter", positive},
        Field<P, double>{&P::clamp_drop, "clamp_drop", "V", "forward drop of an input clamp", {0.0, 5.0}},
        Field<P, double>{&P::clamp_resistance, "clamp_resistance", "ohm", "on-resistance of an input clamp", positive},
        Field<P, double>{&P::consumption_resistance, "consumption_resistance", "ohm", "load of the controller itself",
                         positive},
        Field<P, double>{
            &P::motor_pin_resistance, "motor_pin_resistance", "ohm", "from each motor pin to ground", {10.0, 1e5}},
        Field<P, double>{&P::input_capacitance, "input_capacitance", "F", "from signal pin to ground", {1e-12, 1e-3}},
        Field<P, double>{&P::edge_time, "edge_time", "s", "in which a leg of the bridge switches", {1e-9, 1e-3}});
}

}  // namespace twintrack::wiring
