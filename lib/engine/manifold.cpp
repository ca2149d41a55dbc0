// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/manifold.hpp"

namespace twintrack::engine {

ManifoldCoefficients<double> manifold_coefficients(const ManifoldParameters& p) {
    return {p.kind == ManifoldKind::adiabatic ? 1.0 : 0.0, 1.0 / p.volume, p.temperature, p.wall_conductance};
}

}  // namespace twintrack::engine
