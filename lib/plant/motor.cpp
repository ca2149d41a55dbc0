// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/motor.hpp"

namespace twintrack::plant {

MotorCoefficients<double> motor_coefficients(const MotorParameters& p) {
    constexpr double copper = 0.00393;  // [1/K] at 20 °C
    return {p.resistance * (1.0 + copper * (p.temperature - 20.0)), 1.0 / p.inductance, p.gear_ratio * p.constant,
            p.brush_drop};
}

}  // namespace twintrack::plant
