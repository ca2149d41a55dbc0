// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/atmosphere.hpp"

#include "twintrack/core/described.hpp"
#include "twintrack/core/logarithm.hpp"

namespace twintrack::plant {

Air standard_atmosphere(double altitude) {
    require(altitude, {-1000.0, 11000.0}, "altitude", "m", "altitude of the standard atmosphere");
    constexpr double lapse = 0.0065, gravity = 9.80665;
    const Air sea;
    const double temperature = sea.temperature - lapse * altitude;
    return {sea.pressure * power(temperature / sea.temperature, gravity / (gas_constant * lapse)), temperature};
}

}  // namespace twintrack::plant
