// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/stops.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::plant {

void check(const StopParameters& p, const std::string& path) {
    constexpr double least_travel = 0.2;  // [rad]
    if (p.open_angle - p.closed_angle < least_travel)
        throw InvalidParameter(path + ".open_angle", "the open stop must lie at least 0.2 rad above the closed stop (" +
                                                         std::to_string(p.closed_angle) + " rad); got " +
                                                         std::to_string(p.open_angle));
}

StopCoefficients<double> stop_coefficients(const StopParameters& p) {
    return {p.closed_angle, p.open_angle, p.stiffness, p.damping};
}

}  // namespace twintrack::plant
