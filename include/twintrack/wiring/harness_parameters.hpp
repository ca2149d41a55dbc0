// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
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

[[nodiscard]] const Description& description(Tag<HarnessParameters>);

}  // namespace twintrack::wiring
