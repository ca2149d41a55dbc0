// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/describe.hpp"
#include "twintrack/plant/air_path.hpp"
#include "twintrack/plant/bridge.hpp"
#include "twintrack/plant/bridge_guard.hpp"
#include "twintrack/plant/friction.hpp"
#include "twintrack/plant/motor.hpp"
#include "twintrack/plant/spring.hpp"
#include "twintrack/plant/stops.hpp"
#include "twintrack/plant/thermal.hpp"
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

const Description& description(Tag<BridgeGuardParameters>) {
    using P = BridgeGuardParameters;
    static const Description described = describe<P>(
        {{&P::enabled, "enabled", "", "the bridge protects itself"},
         {&P::undervoltage, "undervoltage", "V", "supply below which the bridge opens", {0.0, 36.0}},
         {&P::undervoltage_release, "undervoltage_release", "V", "supply at which it drives again", {0.0, 36.0}},
         {&P::trip_current, "trip_current", "A", "current in a switch that opens the bridge", {0.1, 1000.0}},
         {&P::difference, "difference", "A", "largest difference of the currents of the two leads", {0.01, 100.0}},
         {&P::retry_time, "retry_time", "s", "open after an over-current", {1e-4, 60.0}},
         {&P::retries, "retries", "", "tries after an over-current before it stays open", {0.0, 1000.0}},
         {&P::junction_resistance, "junction_resistance", "K/W", "from junction to surroundings", {1e-3, 1e4}},
         {&P::junction_capacity, "junction_capacity", "J/K", "heat capacity of the junction", {1e-6, 1e6}},
         {&P::ambient, "ambient", "degC", "surroundings of the bridge", {-60.0, 150.0}},
         {&P::derate_from, "derate_from", "degC", "junction temperature above which current is limited", {0.0, 400.0}},
         {&P::shut_down, "shut_down", "degC", "junction temperature at which the bridge opens", {0.0, 400.0}}});
    return described;
}

const Description& description(Tag<ThermalParameters>) {
    using P = ThermalParameters;
    static const Description described = describe<P>(
        {{&P::winding_capacity, "winding_capacity", "J/K", "heat capacity of the winding", {1e-2, 1e6}},
         {&P::housing_capacity, "housing_capacity", "J/K", "heat capacity of the housing", {1e-2, 1e6}},
         {&P::winding_to_housing, "winding_to_housing", "K/W", "thermal resistance inside", {1e-3, 1e4}},
         {&P::housing_to_ambient, "housing_to_ambient", "K/W", "thermal resistance outside", {1e-3, 1e4}},
         {&P::ambient, "ambient", "degC", "surroundings of the motor", {-60.0, 200.0}},
         {&P::magnet_coefficient, "magnet_coefficient", "1/K", "change of the torque constant", {-0.005, 0.0}},
         {&P::derate_from, "derate_from", "degC", "winding temperature above which current is limited", {0.0, 400.0}},
         {&P::winding_limit, "winding_limit", "degC", "highest winding temperature", {0.0, 400.0}}});
    return described;
}

}  // namespace twintrack::plant
