// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <span>
#include <vector>

#include "twintrack/core/time.hpp"
#include "twintrack/plant/throttle_body.hpp"

namespace twintrack::lanes {

/// What a controller did at one tick.
struct DutySample {
    plant::BridgeMode mode = plant::BridgeMode::drive;
    double duty = 0.0;
};

/// Blade angle [rad] at each tick of a body under duties that some loop has played, in steps of at most `substep` [s]:
/// without sensors and control in between, so that what differs from another integrator is integration error alone.
/// From rest at the default position; `supply` [V]. Throws InvalidParameter; bristle friction only.
[[nodiscard]] std::vector<double> replay(const plant::BodyMechanics& body, const plant::BridgeParameters& bridge,
                                         double supply, std::span<const DutySample> played, Time period,
                                         double substep);

}  // namespace twintrack::lanes
