// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/spring.hpp"

namespace twintrack::plant {

SpringCoefficients<double> spring_coefficients(const SpringParameters& p) {
    return {p.rest_angle, p.open_preload, p.open_rate, p.close_preload, p.close_rate, p.width, 1.0 / p.width};
}

}  // namespace twintrack::plant
