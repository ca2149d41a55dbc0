// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/throttle_body.hpp"

#include "fields.hpp"
#include "twintrack/plant/air_path.hpp"
#include "twintrack/plant/bridge_guard.hpp"
#include "twintrack/plant/thermal.hpp"

namespace twintrack::python {

void bind_plant(py::module_& m) {
    using namespace plant;
    bind_struct<MotorParameters>(m, "MotorParameters", "Brushed DC motor and its gear.");
    bind_struct<BridgeParameters>(m, "BridgeParameters", "Motor bridge and the supply behind it.");
    bind_struct<BridgeGuardParameters>(m, "BridgeGuardParameters", "Protection of the motor bridge.");
    bind_struct<ThermalParameters>(m, "ThermalParameters", "Heat of the motor: winding and housing.");
    bind_struct<SpringParameters>(m, "SpringParameters", "Return and opener spring about the default position.");
    bind_struct<FrictionParameters>(m, "FrictionParameters", "Friction at the blade shaft.");
    bind_struct<StopParameters>(m, "StopParameters", "Closed and open stop.");
    bind_struct<BacklashParameters>(m, "BacklashParameters", "Backlash of the gear.");
    bind_struct<BodyMechanics>(m, "BodyMechanics", "Motor, springs, friction and stops on one shaft.");
    bind_struct<AirPathParameters>(m, "AirPathParameters",
                                   "Bore, shaft, leak, and the torque of the air on the blade.");
    m.def("default_angle", &default_angle, py::arg("mechanics"), "Where the springs leave the unpowered blade [rad].");
    m.def(
        "hold_voltage",
        [](const BodyMechanics& p, double angle, bool opening) { return hold_voltage(p, angle, opening ? 1 : -1); },
        py::arg("mechanics"), py::arg("angle"), py::kw_only(), py::arg("opening"),
        "Motor voltage [V] at which the blade, sliding slowly open or closed, passes `angle` [rad].");
}

}  // namespace twintrack::python
