// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/describe.hpp"
#include "twintrack/plant/air_path.hpp"
#include "twintrack/plant/bridge.hpp"
#include "twintrack/plant/friction.hpp"
#include "twintrack/plant/motor.hpp"
#include "twintrack/plant/spring.hpp"
#include "twintrack/plant/stops.hpp"
#include "twintrack/plant/throttle_body.hpp"

namespace twintrack::plant {

const Description& description(Tag<AirPathParameters>) {
    using P = AirPathParameters;
    static const Description described =
        describe<P>({{&P::bore, "bore", "m", "bore diameter", {0.005, 0.5}},
                     {&P::shaft, "shaft", "m", "shaft diameter, below the bore", {0.0, 0.4}},
                     {&P::seat_angle, "seat_angle", "rad", "closed plate from the bore's normal", {0.0, 0.5}},
                     {&P::blade_zero, "blade_zero", "rad", "blade angle at which the plate closes", {-0.5, 1.0}},
                     {&P::discharge_closed, "discharge_closed", "", "discharge coefficient, closing", {0.1, 1.0}},
                     {&P::discharge_open, "discharge_open", "", "discharge coefficient, open", {0.1, 1.0}},
                     {&P::leak_area, "leak_area", "m^2", "effective leak of the closed plate", {0.0, 1e-3}},
                     {&P::torque_factor, "torque_factor", "", "torque of the air on the blade", {0.0, 0.1}}});
    return described;
}

const Description& description(Tag<BridgeParameters>) {
    using P = BridgeParameters;
    static const Description described = describe<P>(
        {{&P::switch_resistance, "switch_resistance", "ohm", "on-resistance of one bridge switch", {0.0, 10.0}},
         {&P::supply_resistance, "supply_resistance", "ohm", "internal resistance of the supply", {0.0, 10.0}},
         {&P::diode_drop, "diode_drop", "V", "forward voltage of one freewheel diode", {0.0, 3.0}},
         {&P::current_limit, "current_limit", "A", "current at which the bridge stops pushing", {0.1, 200.0}}});
    return described;
}

const Description& description(Tag<FrictionParameters>) {
    using P = FrictionParameters;
    static const Description described = describe<P>(
        {{&P::kind, "kind", "", "friction model"},
         {&P::coulomb, "coulomb", "N*m", "sliding friction", {1e-5, 20.0}},
         {&P::breakaway, "breakaway", "N*m", "static friction, not below the sliding one", {1e-5, 20.0}},
         {&P::stribeck_speed, "stribeck_speed", "rad/s", "speed over which static friction fades", {1e-4, 100.0}},
         {&P::viscous, "viscous", "N*m*s/rad", "viscous friction", {0.0, 10.0}},
         {&P::bristle_stiffness, "bristle_stiffness", "N*m/rad", "stiffness before sliding", {0.1, 1e6}},
         {&P::bristle_damping, "bristle_damping", "N*m*s/rad", "damping before sliding", {0.0, 1e3}},
         {&P::smoothing_speed,
          "smoothing_speed",
          "rad/s",
          "speed over which the simple model changes sign",
          {1e-5, 10.0}}});
    return described;
}

const Description& description(Tag<MotorParameters>) {
    using P = MotorParameters;
    static const Description described =
        describe<P>({{&P::resistance, "resistance", "ohm", "armature resistance at 20 degC", {0.05, 100.0}},
                     {&P::inductance, "inductance", "H", "armature inductance", {1e-5, 0.1}},
                     {&P::constant, "constant", "N*m/A", "torque constant of the motor shaft", {1e-4, 10.0}},
                     {&P::brush_drop, "brush_drop", "V", "voltage lost at the brushes", {0.0, 3.0}},
                     {&P::temperature, "temperature", "degC", "winding temperature", {-60.0, 250.0}},
                     {&P::gear_ratio, "gear_ratio", "", "gear ratio, motor over blade", {1.0, 200.0}},
                     {&P::gear_efficiency, "gear_efficiency", "", "gear efficiency", {0.3, 1.0}}});
    return described;
}

const Description& description(Tag<SpringParameters>) {
    using P = SpringParameters;
    static const Description described =
        describe<P>({{&P::rest_angle, "rest_angle", "rad", "default position of the unpowered blade", {-10.0, 1.5}},
                     {&P::open_preload, "open_preload", "N*m", "preload of the return spring", {0.0, 10.0}},
                     {&P::open_rate, "open_rate", "N*m/rad", "rate of the return spring", {0.0, 10.0}},
                     {&P::close_preload, "close_preload", "N*m", "preload of the opener spring", {0.0, 10.0}},
                     {&P::close_rate, "close_rate", "N*m/rad", "rate of the opener spring", {0.0, 10.0}},
                     {&P::width, "width", "rad", "angle over which a preload builds up", {1e-4, 0.1}}});
    return described;
}

const Description& description(Tag<StopParameters>) {
    using P = StopParameters;
    static const Description described =
        describe<P>({{&P::closed_angle, "closed_angle", "rad", "closed stop", {-0.2, 1.0}},
                     {&P::open_angle, "open_angle", "rad", "open stop", {0.2, 2.0}},
                     {&P::stiffness, "stiffness", "N*m/rad", "contact stiffness", {10.0, 1e6}},
                     {&P::damping, "damping", "s/rad", "contact damping", {0.0, 10.0}}});
    return described;
}

const Description& description(Tag<BacklashParameters>) {
    using P = BacklashParameters;
    static const Description described =
        describe<P>({{&P::play, "play", "rad", "backlash from flank to flank, at the blade; 0: none", {0.0, 0.2}},
                     {&P::motor_share, "motor_share", "", "share of the inertia that is the motor's", {0.05, 0.95}},
                     {&P::stiffness, "stiffness", "N*m/rad", "stiffness of the gear's teeth", {10.0, 1e5}},
                     {&P::dissipation, "dissipation", "s/rad", "damping of the contact", {0.0, 100.0}}});
    return described;
}

const Description& description(Tag<BodyMechanics>) {
    using P = BodyMechanics;
    static const Description described =
        describe<P>({{&P::inertia, "inertia", "kg*m^2", "inertia referred to the blade", {1e-6, 1.0}},
                     {&P::motor, "motor", "", "motor and gear"},
                     {&P::springs, "springs", "", "return and opener spring"},
                     {&P::friction, "friction", "", "friction at the shaft"},
                     {&P::stops, "stops", "", "closed and open stop"},
                     {&P::backlash, "backlash", "", "backlash of the gear"}});
    return described;
}

}  // namespace twintrack::plant
