// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>

#include "twintrack/plant/bridge.hpp"
#include "twintrack/sensing/assembly.hpp"

namespace twintrack::wiring {

using TrackValues = std::array<double, sensing::max_tracks>;

/// What drives the wiring at one instant.
struct Sources {
    double reference = 5.0;          ///< [V] of the controller's sensor supply
    TrackValues pedal{};             ///< outputs [share of their supply]
    TrackValues throttle{};          ///< outputs [share of their supply]
    plant::Terminal<double> bridge;  ///< at the controller's motor pins
};

/// What arrives at the other ends.
struct Ends {
    double reference = 5.0;         ///< [V] sensed by the controller
    TrackValues pedal{};            ///< [V] at the controller's signal pins
    TrackValues throttle{};         ///< [V]
    plant::Terminal<double> motor;  ///< the motor's source
};

/// Every terminal at its pin, with zero resistance: v_k = r_k · reference for each track, the motor at its pins. A
/// track that is not there (share 0) arrives as 0 V.
[[nodiscard]] Ends ideal(const Sources& s) noexcept;

}  // namespace twintrack::wiring
