// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstdint>

#include "twintrack/control/signals.hpp"
#include "twintrack/core/number.hpp"
#include "twintrack/core/time.hpp"
#include "twintrack/monitor/check.hpp"

/// Conditions on motor, springs and blade. All figures are this bench's own unless a source is named.
namespace twintrack::monitor {

[[nodiscard]] inline bool driven(const control::Command& c) noexcept { return c.mode == plant::BridgeMode::drive; }

/// The motor's command and its effect. Five conditions:
///
///     open      |d| U > U_o and |i| < i_o                    volts on the motor and no current
///     overload  |i| > i_most
///     stalled   |d| > d_s and the blade within s of where it was
///     blocked   |d| U > U_b, |i| > i_b and the blade within s of where it was, wherever the set point is
///     against   |d| > d_a, ẏ sgn d < −ẏ_a and (y_d − y) sgn d > s
///               the blade runs against its drive, away from its set point: leads exchanged. A drive that only slows a
///               blade down on its way to the set point, as a weak motor must against a strong spring, is none
///
/// "Blocked" also holds for a blade that is held open: d < 0, |d| ≤ d_s, |d| U > U_h and y − y_d > e_h while it stands,
/// as on deposits, where a slow integral would take seconds to reach U_b. A healthy blade is pulled closed with less:
/// springs help. Beyond d_s a supply may be too low for the loop; "stalled" looks there.
///
/// "Blocked" needs no deviation, so it also detects a motor that presses on a stop, on deposits or on a jammed blade
/// within the tolerance of the set point; a dip of U or i of less than 10 ms, by the loop's noise, does not end it.
/// Nothing is blocked where a loop presses the blade into the demanded stop (both within s of it). U_b
/// lies above what holding a blade open takes (at most 8 V: a wide open blade of the weakest built-in motor, its
/// winding at 100 °C) and below what a stalled loop applies, so supplies under U_b / 0.95 are left to "stalled"; i_b
/// lies below the stall current of a hot winding at U_b.
struct MotionParameters {
    double open_voltage = 2.0;     ///< U_o [V]
    double open_current = 0.03;    ///< i_o [A]
    double most_current = 10.0;    ///< i_most [A]
    double stalled_duty = 0.7;     ///< d_s
    double still = 0.01;           ///< s [share of travel]
    double blocked_voltage = 9.0;  ///< U_b [V]
    double blocked_current = 2.0;  ///< i_b [A]
    double held_voltage = 5.0;     ///< U_h [V]
    double held_error = 0.006;     ///< e_h [share of travel]
    double against_duty = 0.3;     ///< d_a
    double against_speed = 1.0;    ///< ẏ_a [1/s] share of travel
    CheckParameters open{};        ///< debouncing of each
    CheckParameters overload{.confirm_time = 0.5};
    CheckParameters stalled{.confirm_time = 0.5};
    CheckParameters blocked{.confirm_time = 0.5};
    CheckParameters against{};
};

[[nodiscard]] const Description& description(Tag<MotionParameters>);

/// The filter that turns an opening per tick into its speed.
template <class T>
struct SpeedFilter {
    T share, rate;  ///< taken of what is new; [1/s] ticks

    [[nodiscard]] T step(T speed, T change) const noexcept { return speed + share * (change * rate - speed); }
};

[[nodiscard]] inline SpeedFilter<double> speed_filter(Time period) noexcept {
    constexpr double time = 0.01;  // [s]
    return {seconds(period) / (time + seconds(period)), 1.0 / seconds(period)};
}

class MotionCheck {
public:
    struct Found {
        bool open, overload, stalled, blocked, against;
    };
    /// The opening of the command before and ẏ [1/s], filtered.
    struct Seen {
        double opening = 0.0, speed = 0.0;
    };

    MotionCheck(const MotionParameters& p, Time period) noexcept
        : p_(p), filter_(speed_filter(period)), longest_dip_(milliseconds(10) / period) {}

    /// `current` and `supply` as measured now, under the command of the tick before.
    Found step(const control::Command& last, double current, double supply) noexcept {
        const double change = started_ ? last.opening - seen_.opening : 0.0;
        started_ = true;
        seen_ = {last.opening, filter_.step(seen_.speed, change)};
        const double duty = driven(last) ? abs(last.duty) : 0.0;
        const double volts = duty * supply, amperes = abs(current);
        const bool pushing = held(stalled_at_, last.opening, duty > p_.stalled_duty);
        const bool pressed = volts > p_.blocked_voltage && amperes > p_.blocked_current;
        const bool blocked =
            held(blocked_at_, last.opening, bridged((pressed || held_open(last, volts)) && !at_end(last)));
        return {volts > p_.open_voltage && amperes<p_.open_current, amperes> p_.most_current, pushing, blocked,
                duty > p_.against_duty && runs_against(last)};
    }

    /// As at a key-on.
    void restart() noexcept {
        started_ = false;
        seen_ = {};
        stalled_at_ = blocked_at_ = 0.0;
        dip_ = longest_dip_;
    }

    [[nodiscard]] const Seen& seen() const noexcept { return seen_; }
    /// The state of another check so far, without anything that pressed on the blade.
    void resume(const Seen& seen) noexcept {
        seen_ = seen, started_ = true;
        stalled_at_ = blocked_at_ = seen.opening;
        dip_ = longest_dip_;
    }

private:
    /// The blade has not left the place `at` at which the motor began to press on it.
    [[nodiscard]] bool held(double& at, double opening, bool pressed) const noexcept {
        const bool stands = pressed && abs(opening - at) <= p_.still;
        if (!stands) at = opening;
        return stands;
    }

    /// The blade runs the other way than it is driven, and away from where it should be.
    [[nodiscard]] bool runs_against(const control::Command& c) const noexcept {
        const double along = c.duty > 0.0 ? seen_.speed : -seen_.speed;
        const double left = c.duty > 0.0 ? c.set_point - c.opening : c.opening - c.set_point;
        return along < -p_.against_speed && left > p_.still;
    }

    /// Pulled closed, and yet further open than it should be.
    [[nodiscard]] bool held_open(const control::Command& c, double volts) const noexcept {
        return c.duty < 0.0 && -c.duty <= p_.stalled_duty && volts > p_.held_voltage &&
               c.opening - c.set_point > p_.held_error;
    }

    /// Pressed against the demanded stop.
    [[nodiscard]] bool at_end(const control::Command& c) const noexcept {
        const double most = max(c.set_point, c.opening), least = min(c.set_point, c.opening);
        return (c.duty < 0.0 && most < p_.still) || (c.duty > 0.0 && least > 1.0 - p_.still);
    }

    /// Pressed now, or not longer ago than a dip may last.
    [[nodiscard]] bool bridged(bool pressed) noexcept {
        dip_ = pressed ? 0 : dip_ + (dip_ < longest_dip_ ? 1 : 0);
        return dip_ < longest_dip_;
    }

    MotionParameters p_;
    SpeedFilter<double> filter_;
    std::int64_t longest_dip_;         ///< [ticks]
    std::int64_t dip_ = longest_dip_;  ///< [ticks] since the motor pressed last
    bool started_ = false;
    Seen seen_{};
    double stalled_at_ = 0.0, blocked_at_ = 0.0;  ///< openings
};

/// Springs: a blade without power must reach its default position and stay there. The first is active whenever the
/// motor has no power, and only for a blade further open; the time is that of 49 CFR 571.124 S5.3 (from memory). The
/// second looks only between key-on and the first power; off by default, since a body exchanged without a learn then
/// fails here already.
struct SpringParameters {
    double tolerance = 0.05;  ///< [share of travel] about the learned default position
    CheckParameters check{.confirm_time = 1.0};
};

struct DefaultParameters {
    double tolerance = 0.03;  ///< [share of travel] about the learned default position
    CheckParameters check{.enabled = false, .confirm_time = 0.05};
};

[[nodiscard]] const Description& description(Tag<SpringParameters>);
[[nodiscard]] const Description& description(Tag<DefaultParameters>);

[[nodiscard]] inline bool open_beyond(double tolerance, double default_opening, const control::Command& last) noexcept {
    return !driven(last) && last.opening - default_opening > tolerance;
}

[[nodiscard]] inline bool away_from(double tolerance, double default_opening, const control::Command& last) noexcept {
    return !driven(last) && abs(last.opening - default_opening) > tolerance;
}

}  // namespace twintrack::monitor
