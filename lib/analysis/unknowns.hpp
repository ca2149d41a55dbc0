// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

#include "twintrack/analysis/prediction.hpp"
#include "twintrack/core/dual.hpp"
#include "twintrack/lanes/body_step.hpp"

namespace twintrack::analysis {

/// A value as a number of type T: on dual numbers, with a slope of its own on request.
template <class T>
class Seeds {
public:
    explicit Seeds(const std::vector<std::string>& by) : by_(by) {}
    [[nodiscard]] T operator()(std::string_view name, double value) const {
        const auto found = std::find(by_.begin(), by_.end(), name);
        if constexpr (std::is_same_v<T, double>)
            return value;
        else
            return found == by_.end() ? T(value) : T(value, static_cast<std::size_t>(found - by_.begin()));
    }

private:
    const std::vector<std::string>& by_;
};

/// The coefficients of plant::coefficients, by their parameters (tests compare the two).
template <class T>
[[nodiscard]] lanes::BodyCoefficients<T> seeded(const plant::BodyMechanics& p, const Seeds<T>& of) {
    const T one(1.0);
    const plant::MotorParameters& m = p.motor;
    const plant::SpringParameters& s = p.springs;
    const plant::FrictionParameters& f = p.friction;
    const plant::Coefficients<double> plain = plant::coefficients(p);
    const T warm(plain.motor.resistance / m.resistance);
    const T coulomb = of("friction.coulomb", f.coulomb);
    return {{of("motor.resistance", m.resistance) * warm, one / of("motor.inductance", m.inductance),
             of("motor.constant", m.constant) * T(m.gear_ratio), of("motor.brush_drop", m.brush_drop)},
            {of("springs.rest_angle", s.rest_angle), of("springs.open_preload", s.open_preload),
             of("springs.open_rate", s.open_rate), of("springs.close_preload", s.close_preload),
             of("springs.close_rate", s.close_rate), T(s.width), T(plain.springs.inverse_width)},
            coulomb,
            of("friction.breakaway", f.breakaway) - coulomb,
            one / of("friction.stribeck_speed", f.stribeck_speed),
            of("friction.viscous", f.viscous),
            of("friction.bristle_stiffness", f.bristle_stiffness),
            of("friction.bristle_damping", f.bristle_damping),
            one - of("motor.gear_efficiency", m.gear_efficiency),
            {of("stops.closed_angle", p.stops.closed_angle), of("stops.open_angle", p.stops.open_angle),
             T(p.stops.stiffness), T(p.stops.damping)},
            one / of("inertia", p.inertia)};
}

}  // namespace twintrack::analysis
