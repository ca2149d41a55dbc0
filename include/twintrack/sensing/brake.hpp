// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"

namespace twintrack::sensing {

/// The sensor of the brake: one signal, a straight line over how hard the driver brakes (0 released … 1 as hard as it
/// goes), inside 0.5 … 4.5 V of a 5 V reference as the student-competition rules ask (2024, T.4.3.3–4). From where on
/// it counts as applied and as hard is this bench's own.
struct BrakeSensorParameters {
    double released = 0.14;  ///< output [share of the reference]
    double full = 0.86;
    double applied = 0.05;  ///< [share of full braking]
    double hard = 0.5;      ///< [share of full braking]
};

[[nodiscard]] const Description& description(Tag<BrakeSensorParameters>);

/// The two ends differ.
void check(const BrakeSensorParameters& p, const std::string& path);

/// Output [share of the reference].
[[nodiscard]] constexpr double brake_output(const BrakeSensorParameters& p, double braking) noexcept {
    return p.released + braking * (p.full - p.released);
}

/// What a controller takes the braking for, by the output.
[[nodiscard]] constexpr double braking(const BrakeSensorParameters& p, double output) noexcept {
    return (output - p.released) / (p.full - p.released);
}

}  // namespace twintrack::sensing
