// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/friction.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::plant {

void check(const FrictionParameters& p, const std::string& path) {
    if (p.breakaway < p.coulomb)
        throw InvalidParameter(path + ".breakaway", "static friction must not be below the sliding friction (" +
                                                        std::to_string(p.coulomb) + " N*m); got " +
                                                        std::to_string(p.breakaway));
}

FrictionCoefficients<double> friction_coefficients(const FrictionParameters& p, double gear_efficiency) {
    return {p.kind,
            p.coulomb,
            p.breakaway - p.coulomb,
            1.0 / p.stribeck_speed,
            p.viscous,
            p.bristle_stiffness,
            p.bristle_damping,
            p.smoothing_speed,
            1.0 - gear_efficiency};
}

}  // namespace twintrack::plant
