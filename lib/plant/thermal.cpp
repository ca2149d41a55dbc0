// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/thermal.hpp"

#include "twintrack/core/error.hpp"

namespace twintrack::plant {

namespace {

/// Heat flows [W] from winding to housing and from housing to the surroundings.
struct Flows {
    double inside, outside;
};

Flows flows(const ThermalParameters& p, const HeatState& x) noexcept {
    return {(x.winding - x.housing) / p.winding_to_housing, (x.housing - p.ambient) / p.housing_to_ambient};
}

HeatState moved(const ThermalParameters& p, const HeatState& x, const Flows& f, double winding, double housing,
                double h) noexcept {
    return {x.winding + (winding - h * f.inside) / p.winding_capacity,
            x.housing + (housing + h * (f.inside - f.outside)) / p.housing_capacity};
}

}  // namespace

void check(const ThermalParameters& p, const std::string& path) {
    if (p.derate_from < p.winding_limit) return;
    throw InvalidParameter((path.empty() ? "" : path + ".") + "winding_limit",
                           "must lie above derate_from (" + std::to_string(p.derate_from) + " degC); got " +
                               std::to_string(p.winding_limit) + " degC");
}

HeatState warmed(const ThermalParameters& p, const HeatState& x, double winding, double housing, double h,
                 HeatBooks* books) noexcept {
    const HeatState middle = moved(p, x, flows(p, x), 0.5 * winding, 0.5 * housing, 0.5 * h);
    const Flows f = flows(p, middle);
    if (books) books->taken += winding + housing, books->given += h * f.outside;
    return moved(p, x, f, winding, housing, h);
}

MotorParameters at_temperature(MotorParameters motor, const ThermalParameters& p, const HeatState& x) {
    motor.temperature = clamp(x.winding, -60.0, 250.0);
    motor.constant *= 1.0 + p.magnet_coefficient * (x.housing - 20.0);
    return motor;
}

double current_share(const ThermalParameters& p, double winding) noexcept {
    return clamp((p.winding_limit - winding) / (p.winding_limit - p.derate_from), 0.0, 1.0);
}

}  // namespace twintrack::plant
