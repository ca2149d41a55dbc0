// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/control/signals.hpp"
#include "twintrack/core/angle.hpp"
#include "twintrack/core/time.hpp"
#include "twintrack/monitor/check.hpp"

namespace twintrack::monitor {

/// Idle speed against its goal, e = ω − ω_goal(ϑ):
///
///     P0506  e < −below                                      lower than expected
///     P0507  e > above                                       higher than expected
///     P0505  |e| > off_target, or the air is at its limit    the governor does not get there, hunts, or has no room
///     left
///
/// looked at only while all of this holds: the engine has run by itself for longer than `start_delay`; the foot has
/// been off, and nothing that is wrong has driven the blade, for longer than `release_delay`; the coolant is at least
/// `coolant`. The last is counted up and down, so that hunting through the goal adds up.
///
/// The band is that of 13 CCR 1968.2 (e)(15.2.2)(B), quoted second hand; that a warm engine, some seconds of running
/// and a closed pedal are required is common practice (from memory); the figures are this bench's own.
struct IdleSpeedParameters {
    double above = 200.0 * pi / 30.0;      ///< [rad/s]
    double below = 100.0 * pi / 30.0;      ///< [rad/s]
    double off_target = 50.0 * pi / 30.0;  ///< [rad/s]
    double coolant = 60.0;                 ///< [°C]
    double pedal_released = 0.02;          ///< [share of travel] not above it the foot is off
    double start_delay = 5.0;              ///< [s]
    double release_delay = 3.0;            ///< [s]
    CheckParameters low{.confirm_time = 5.0};
    CheckParameters high{.confirm_time = 5.0};
    CheckParameters system{.confirm_time = 10.0, .heal_time = 10.0, .counting = Counting::counter};
};

[[nodiscard]] const Description& description(Tag<IdleSpeedParameters>);

class IdleSpeedCheck {
public:
    struct Found {
        bool low = false, high = false, system = false;
    };

    IdleSpeedCheck(const IdleSpeedParameters& p, Time period) noexcept;

    /// `pedal` by the controller [share of travel]; `disturbed`: a fault reaction drives the blade.
    Found step(const control::EngineReadings& engine, double pedal, bool disturbed) noexcept;
    void restart() noexcept { clocks_ = {}; }

    /// For how long the engine has run and the foot has been off; −1: not at all.
    struct Clocks {
        Time running{-1}, released{-1};
    };
    [[nodiscard]] const Clocks& clocks() const noexcept { return clocks_; }
    /// Continues from a count made elsewhere.
    void resume(const Clocks& clocks) noexcept { clocks_ = clocks; }

private:
    IdleSpeedParameters p_;
    Time period_, start_delay_, release_delay_;
    Clocks clocks_;
};

}  // namespace twintrack::monitor
