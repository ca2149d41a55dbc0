// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/dual.hpp"
#include "twintrack/plant/lift.hpp"

namespace support {

/// A number with its derivatives by the four states: shows that the laws run on another number type than `double`.
using Dual = twintrack::Dual<4>;

[[nodiscard]] inline twintrack::plant::Coefficients<Dual> lift(const twintrack::plant::Coefficients<double>& c) {
    return twintrack::plant::lift<Dual>(c);
}

[[nodiscard]] inline twintrack::plant::Drive<Dual> lift(const twintrack::plant::Drive<double>& d) {
    return {{d.terminal.voltage, d.terminal.resistance, d.terminal.current_limit, d.terminal.mode},
            d.external_torque,
            d.conducting};
}

/// The state as the point at which derivatives are taken: slope k belongs to (i, θ, ω, z)[k].
[[nodiscard]] inline twintrack::plant::State<Dual> seed(const twintrack::plant::State<double>& x) {
    return {{x.current, 0}, {x.angle, 1}, {x.speed, 2}, {x.bristle, 3}};
}

}  // namespace support
