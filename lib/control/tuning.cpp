// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/tuning.hpp"

namespace twintrack::control {

LoopModel loop_model(const plant::BodyMechanics& body, double period, double filter_time) {
    validate(body, "body");
    require(period, {1e-6, 1.0}, "period", "s", "period of the controller");
    require(filter_time, {0.0, 1.0}, "filter_time", "s", "time constant of the input filter");
    const plant::MotorCoefficients<double> motor = plant::motor_coefficients(body.motor);
    const double constant = motor.blade_constant;
    const double damping = motor.resistance * body.friction.viscous + constant * constant;
    const double armature = 1.0 / (motor.inverse_inductance * motor.resistance);
    return {constant / damping, motor.resistance * body.inertia / damping, armature + filter_time + 2.0 * period,
            period};
}

PidParameters damping_optimum(const LoopModel& m) {
    constexpr double d2 = 0.5, d3 = 0.5, d4 = 0.5;
    const double sum = m.motor_time + m.small_time;
    const double equivalent = m.motor_time * m.small_time / (sum * d2 * d3 * d4);
    const double proportional = sum / (m.velocity_gain * d3 * d2 * d2 * equivalent * equivalent);
    const double derivative_time = d2 * equivalent - 1.0 / (proportional * m.velocity_gain);
    PidParameters p;
    p.proportional = proportional;
    p.integral = proportional / equivalent;
    p.derivative = proportional * max(derivative_time, 0.0);
    p.derivative_filter = m.derivative_filter;
    return p;
}

}  // namespace twintrack::control
