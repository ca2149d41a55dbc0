// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/rotation.hpp"

#include "twintrack/core/angle.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::engine {

void check(const RotationParameters& p, const std::string& path) {
    if (p.stall_speed >= p.release_speed)
        throw InvalidParameter(dotted(path, "stall_speed"),
                               "the engine must stall below the speed at which the starter lets go");
    if (p.starter_speed <= p.stall_speed)
        throw InvalidParameter(dotted(path, "starter_speed"), "the starter must turn the engine faster than it stalls");
}

RotationCoefficients<double> rotation_coefficients(const RotationParameters& p, double displacement) {
    const double per_radian = displacement / (4.0 * pi);
    return {1.0 / p.inertia,
            {per_radian * p.friction_constant, per_radian * p.friction_linear, per_radian * p.friction_quadratic},
            1.0 / p.generator_efficiency,
            p.generator_speed,
            p.starter_torque,
            1.0 / p.starter_speed};
}

double cold_factor(const RotationParameters& p, double coolant) noexcept {
    return 1.0 + 0.01 * p.cold_friction * max(p.warm_temperature - coolant, 0.0);
}

}  // namespace twintrack::engine
