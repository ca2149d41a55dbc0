// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/described.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::control {

/// Follows a closed stop that has moved since the learn (carbon, wear, a sensor that slipped), within limits.
///
///     y = (p − s)/(1 − s)        p position by the learned range, s learned shift of the stop [share of travel], y
///     opening
///
/// s falls while y < 0: the blade is beyond the stop it knew. s rises while the loop pushes the blade closed and it
/// does not come: duty below −`duty`, no movement, for `time`, and y not yet clearly below the set point. It moves by
/// `rate` at most and stays within ± `limit`; it goes no further than the loop needs to stop pushing. Off by default.
/// Common practice, no source (idle stop adaptation); the values are ours.
struct ClosedStopParameters {
    bool enabled = false;
    double rate = 0.01;   ///< [share of travel / s]
    double limit = 0.03;  ///< [share of travel]
    double duty = 0.25;   ///< |duty| that counts as pushing
    double time = 0.3;    ///< [s] without movement
};

[[nodiscard]] const Description& description(Tag<ClosedStopParameters>);

class ClosedStop {
public:
    static constexpr double still = 0.003;  ///< [share of travel] that counts as no movement
    /// [share of travel] below the set point: further than the loop may rest (rest_limit), so that any integral unwinds
    static constexpr double below = 0.008;

    ClosedStop() = default;
    /// `period` [s] of the tick.
    ClosedStop(const ClosedStopParameters& p, double period) noexcept : p_(p), period_(period) {}

    [[nodiscard]] double shift() const noexcept { return shift_; }
    [[nodiscard]] double opening(double position) const noexcept { return (position - shift_) / (1.0 - shift_); }

    /// `set_point` and `duty` of the last tick; a bridge that is off has duty 0.
    void step(double position, double set_point, double duty) noexcept {
        if (!p_.enabled) return;
        const double y = opening(position);
        const bool pushing = duty <= -p_.duty && y > set_point - below && abs(position - anchor_) <= still;
        if (!pushing) anchor_ = position;
        pushed_ = pushing ? pushed_ + period_ : 0.0;
        const double most = p_.rate * period_;
        if (pushed_ >= p_.time) shift_ += most;
        if (y < 0.0) shift_ -= min(most, -y);
        shift_ = clamp(shift_, -p_.limit, p_.limit);
    }

private:
    ClosedStopParameters p_;
    double period_ = 0.0;
    double shift_ = 0.0;   ///< s
    double anchor_ = 0.0;  ///< position about which it stands still
    double pushed_ = 0.0;  ///< [s]
};

}  // namespace twintrack::control
