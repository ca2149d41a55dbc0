// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/mixture.hpp"

#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::engine {

void check(const MixtureParameters& p, const std::string& path) {
    if (p.misfire <= p.lean_limit)
        throw InvalidParameter(path + ".misfire", "must lie above the lean limit (" + std::to_string(p.lean_limit) +
                                                      "); got " + std::to_string(p.misfire));
}

double Mixture::step(double area, double leak_area, bool runs, double span) noexcept {
    const double openings = area + leak_area;
    const double metered = p_.metered && openings > 0.0 ? area / openings : 1.0;
    const double mixture = metered * (1.0 + correction_);
    const double most = p_.most_correction;
    if (runs) correction_ = clamp(correction_ + span / p_.correction_time * (1.0 - mixture), -most, most);
    constexpr double thinnest = 1e-3;
    lambda_ = 1.0 / max(mixture, thinnest);
    const double burns = clamp((p_.misfire - lambda_) / (p_.misfire - p_.lean_limit), 0.0, 1.0);
    return min(mixture, 1.0) * burns;
}

}  // namespace twintrack::engine
