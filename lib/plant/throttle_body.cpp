// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/throttle_body.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::plant {

void check(const BodyMechanics& p, const std::string& path) {
    if (p.springs.rest_angle >= p.stops.open_angle)
        throw InvalidParameter(path + ".springs.rest_angle", "the default position must lie below the open stop (" +
                                                                 std::to_string(p.stops.open_angle) + " rad); got " +
                                                                 std::to_string(p.springs.rest_angle));
}

Coefficients<double> coefficients(const BodyMechanics& p) {
    return {motor_coefficients(p.motor),
            spring_coefficients(p.springs),
            friction_coefficients(p.friction, p.motor.gear_efficiency),
            stop_coefficients(p.stops),
            p.inertia,
            1.0 / p.inertia};
}

double default_angle(const BodyMechanics& p) {
    return clamp(p.springs.rest_angle, p.stops.closed_angle, p.stops.open_angle);
}

double hold_voltage(const BodyMechanics& p, double angle, int direction) {
    const Coefficients<double> c = coefficients(p);
    const double torque = -spring_torque(c.springs, angle) + direction * p.friction.coulomb;
    // The gear's loss adds to the friction: torque = NKi − direction (1−η)|NKi|, and both sides have one sign.
    const double gear = 1.0 - direction * c.friction.load_share * select(torque < 0.0, -1.0, 1.0);
    const double current = torque / (gear * c.motor.blade_constant);
    return c.motor.resistance * current + brush_voltage(c.motor, current);
}

}  // namespace twintrack::plant
