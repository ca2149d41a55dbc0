// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/orifice.hpp"

#include "twintrack/core/described.hpp"

namespace twintrack::plant {

Orifice orifice(double gamma) {
    require(gamma, {1.05, 1.7}, "gamma", "", "ratio of the specific heats");
    constexpr double r = Orifice::linear_from;
    const double y = power(r, 1.0 / gamma);
    const double factor = sqrt(2.0 * gamma / (gamma - 1.0));
    const double psi = factor * sqrt(y * (y - r));
    // Equal slopes at r: a + 2(1 − a) = −(1 − r) Ψ'/Ψ, with Ψ'/Ψ = (y²)'/2… of y (y − r), y' = y/(γ r).
    const double rise = y / (gamma * r);
    const double relative = 0.5 * (rise * (2.0 * y - r) - y) / (y * (y - r));
    const double end_slope = -(1.0 - r) * relative;
    return {power(2.0 / (gamma + 1.0), gamma / (gamma - 1.0)), 1.0 / gamma, factor, psi, 2.0 - end_slope};
}

}  // namespace twintrack::plant
