// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/model.hpp"

namespace twintrack::engine {

Coefficients<double> coefficients(const EngineParameters& p) {
    validate(p, "engine");
    return {plant::orifice(), manifold_coefficients(p.manifold), cylinder_coefficients(p.cylinders),
            rotation_coefficients(p.rotation, p.cylinders.displacement)};
}

}  // namespace twintrack::engine
