// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <limits>
#include <string>
#include <utility>

#include "twintrack/bench/engine_setup.hpp"
#include "twintrack/bench/stroke.hpp"
#include "twintrack/core/angle.hpp"
#include "twintrack/core/record.hpp"

namespace twintrack::study {

inline constexpr double rpm = pi / 30.0;  ///< 1 1/min in rad/s

/// What became of an idle.
enum class IdleFinding {
    right,     ///< in the band, and nothing was reported
    noticed,   ///< a trouble code, or a learn that was refused; the reaction decides how it idles
    wrong,     ///< nothing was reported, and it does not start, stalls, hunts or idles outside the band
    dangerous  ///< far above its set point, or open beyond the demand, whether it was reported or not
};

constexpr std::array<std::pair<IdleFinding, const char*>, 4> names(Tag<IdleFinding>) {
    using F = IdleFinding;
    return {{{F::right, "right"}, {F::noticed, "noticed"}, {F::wrong, "wrong"}, {F::dangerous, "dangerous"}}};
}

/// Where the judgement draws its lines [rad/s], [s].
struct IdleLimits {
    double above = 200.0 * rpm;     ///< 13 CCR 1968.2 (e)(15.2.2)(B), quoted second hand
    double below = 100.0 * rpm;     ///< the same
    double settled = 20.0 * rpm;    ///< this bench's own, as are all below
    double hunting = 50.0 * rpm;    ///< half of peak to peak
    double runaway = 1000.0 * rpm;  ///< above the set point, foot off
    double runaway_time = 1.0;      ///< [s]
    double judged = 3.0;            ///< [s] before load, foot or key change something
    double released = 2.0;          ///< [s] after the foot has left the pedal
};

/// How an engine idled, drawn from a record with its signals. NaN: there was no such time in the record.
struct IdleReport {
    static constexpr double none = std::numeric_limits<double>::quiet_NaN();

    bool started = false;
    int stalls = 0;
    double speed = none;           ///< [rad/s] mean over the last `judged` seconds before the first demand
    double set_point = none;       ///< [rad/s] the same of the governor's set point
    double hunting = none;         ///< [rad/s] half of peak to peak in that time
    double hunting_period = none;  ///< [s] where it hunts more than `settled`
    double settling_time = none;   ///< [s] from the starter's first turn until within `settled` for good
    double air_flow = none;        ///< [kg/s] mean in that time, as all below
    double opening = none;         ///< of the blade [share of travel]
    double authority = none;       ///< of the governor's air
    double pressure = none;        ///< [Pa] in the manifold
    double load_dip = none;        ///< [rad/s] deepest below the set point while the load is on
    double return_time = none;     ///< [s] from the foot's last release until within the band for good
    double highest = none;         ///< [rad/s] most above the set point with the foot off for `released`
    double runaway = 0.0;          ///< [s] longest time more than `runaway` above it
    double stop_time = none;       ///< [s] from key-off until the engine stops; infinite: it does not
    double off_opening = none;     ///< of the blade at the end, the key off [share of travel]
    bool driven_off = false;       ///< the motor was driven after key-off
    IdleFinding finding = IdleFinding::right;

    [[nodiscard]] double deviation() const noexcept { return speed - set_point; }
};

/// `reported`: a trouble code or a refused learn; `uncommanded`: the judgement of the blade (case.hpp). Throws
/// InvalidParameter for a record without an engine.
[[nodiscard]] IdleReport idle_report(const Record& record, const bench::Stroke& stroke,
                                     const bench::EngineCourse& course, bool reported, bool uncommanded,
                                     const IdleLimits& limits = {});

/// The finding in words, with its numbers.
[[nodiscard]] std::string sentence(const IdleReport& report);

}  // namespace twintrack::study
