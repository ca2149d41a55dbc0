// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/fields.hpp"
#include "twintrack/wiring/controller_side.hpp"
#include "twintrack/wiring/wire.hpp"

namespace twintrack::wiring {

struct HarnessParameters {
    WireParameters sensor_wire = {.section_mm2 = 0.5, .length = 2.0};
    WireParameters motor_wire = {.section_mm2 = 1.5, .length = 1.5};
    WireParameters supply_wire = {.section_mm2 = 2.5, .length = 2.0};
    WireParameters ground_wire = {.section_mm2 = 2.5, .length = 1.0};
    double hall_supply_resistance = 625.0;  ///< [Ω] what one Hall track takes from its supply: 8 mA at 5 V (assumed)
    double wiper_resistance = 100.0;        ///< [Ω] of a potentiometer's wiper contact (assumed)
    ControllerSideParameters controller;
};

constexpr auto fields(Tag<HarnessParameters>) {
    using P = HarnessParameters;
    return std::make_tuple(
        Field<P, WireParameters>{&P::sensor_wire, "sensor_wire", "", "each wire of a track"},
        Field<P, WireParameters>{&P::motor_wire, "motor_wire", "", "each motor lead"},
        Field<P, WireParameters>{&P::supply_wire, "supply_wire", "", "battery to controller"},
        Field<P, WireParameters>{&P::ground_wire, "ground_wire", "", "controller to ground"},
        Field<P, double>{
            &P::hall_supply_resistance, "hall_supply_resistance", "ohm", "load of one Hall track", {10.0, 1e6}},
        Field<P, double>{&P::wiper_resistance, "wiper_resistance", "ohm", "wiper contact", {1e-3, 1e6}},
        Field<P, ControllerSideParameters>{&P::controller, "controller", "", "the controller's side"});
}

}  // namespace twintrack::wiring
