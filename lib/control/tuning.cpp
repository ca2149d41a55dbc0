// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/tuning.hpp"

#include <limits>

#include "twintrack/core/angle.hpp"

namespace twintrack::control {

LoopModel loop_model(const plant::BodyMechanics& body, double period, double filter_time,
                     std::optional<double> derivative_filter) {
    validate(body, "body");
    require(period, {1e-6, 1.0}, "period", "s", "period of the controller");
    require(filter_time, {0.0, 1.0}, "filter_time", "s", "time constant of the input filter");
    const plant::MotorCoefficients<double> motor = plant::motor_coefficients(body.motor);
    const double constant = motor.blade_constant;
    const double damping = motor.resistance * body.friction.viscous + constant * constant;
    const double armature = 1.0 / (motor.inverse_inductance * motor.resistance);
    const double lag = derivative_filter.value_or(period);
    return {constant / damping, motor.resistance * body.inertia / damping, armature + filter_time + (period + lag),
            lag};
}

PidParameters damping_optimum(const LoopModel& m, double integral_ratio) {
    constexpr double d2 = 0.5, d3 = 0.5, d4 = 0.5;
    const double sum = m.motor_time + m.small_time;
    const double equivalent = m.motor_time * m.small_time / (sum * d2 * d3 * d4);
    const double proportional = sum / (m.velocity_gain * d3 * d2 * d2 * equivalent * equivalent);
    const double derivative_time = d2 * equivalent - 1.0 / (proportional * m.velocity_gain);
    PidParameters p;
    p.proportional = proportional;
    p.integral = proportional / equivalent * (integral_ratio / d2);
    p.derivative = proportional * max(derivative_time, 0.0);
    p.derivative_filter = m.derivative_filter;
    return p;
}

PidParameters by_phase_margin(const LoopModel& m, double crossover, double margin, double integral_time) {
    constexpr double least = 1.0, most = 28.6362532829;  // tan 45°, tan 88°
    const double speed = crossover / m.small_time;
    const double quarter = 0.5 * pi - margin - crossover;  // φ = atan(ω₀ T_m) − quarter
    const double spared = cosine(0.5 * pi - quarter) / cosine(quarter);
    const double turn = speed * m.motor_time;
    const double base = 1.0 + turn * spared;
    const double lead = base > 0.0 ? clamp((turn - spared) / base, least, most) : most;
    PidParameters p;
    p.derivative = speed * m.motor_time / m.velocity_gain;
    p.proportional = p.derivative * speed / lead;
    p.integral = p.proportional / integral_time;
    p.derivative_filter = m.derivative_filter;
    return p;
}

double fastest_set_point(const plant::BodyMechanics& body, double set_point_time, double volts) {
    const plant::MotorCoefficients<double> motor = plant::motor_coefficients(body.motor);
    const double constant = motor.blade_constant;
    if (set_point_time <= 0.0) return std::numeric_limits<double>::infinity();
    const double per_speed = motor.resistance * body.inertia / (constant * set_point_time) - constant;
    return per_speed > 0.0 ? volts / per_speed : std::numeric_limits<double>::infinity();
}

bool stable(const LoopModel& m, const PidParameters& g) {
    const double k = m.velocity_gain;
    const double a0 = k * g.integral, a1 = k * g.proportional, a2 = 1.0 + k * g.derivative;
    const double a3 = m.motor_time + m.small_time, a4 = m.motor_time * m.small_time;
    const double first = a3 * a2 - a4 * a1;
    return first > 0.0 && a1 * first >= a3 * a3 * a0;
}

}  // namespace twintrack::control
