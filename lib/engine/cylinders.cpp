// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/cylinders.hpp"

namespace twintrack::engine {

CylinderCoefficients<double> cylinder_coefficients(const CylinderParameters& p) {
    const double per_radian = p.displacement / (4.0 * pi);
    return {1.0 / (p.compression_ratio - 1.0),
            {p.filling_constant, p.filling_linear, p.filling_quadratic},
            p.air_share * per_radian / plant::gas_constant,
            per_radian,
            p.efficiency_constant,
            p.efficiency_linear,
            p.spark_loss,
            1.0 / p.air_fuel_ratio,
            p.heating_value};
}

}  // namespace twintrack::engine
