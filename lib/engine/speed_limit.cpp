// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/speed_limit.hpp"

#include "twintrack/core/described.hpp"

namespace twintrack::engine {

SpeedLimit::SpeedLimit(double hysteresis) : hysteresis_(hysteresis) {
    require(hysteresis, {0.0, 200.0}, "hysteresis", "rad/s", "hysteresis of the speed limit");
}

bool SpeedLimit::step(double speed, double limit) noexcept {
    cut_ = speed > limit - (cut_ ? hysteresis_ : 0.0);
    return !cut_;
}

}  // namespace twintrack::engine
