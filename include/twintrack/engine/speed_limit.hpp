// SPDX-License-Identifier: BSD-3-Clause
#pragma once

namespace twintrack::engine {

/// Limits the speed by cutting the fuel: cut above the limit, given again `hysteresis` below it. The limit [rad/s] is
/// an argument of each step, since a reaction may lower it at any time.
class SpeedLimit {
public:
    /// `hysteresis` [rad/s]; throws InvalidParameter unless it is 0 to 200.
    explicit SpeedLimit(double hysteresis = 10.0);

    /// Whether fuel is permitted.
    bool step(double speed, double limit) noexcept;

private:
    double hysteresis_;
    bool cut_ = false;
};

}  // namespace twintrack::engine
