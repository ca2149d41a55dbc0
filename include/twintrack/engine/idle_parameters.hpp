// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/core/described.hpp"

namespace twintrack::engine {

/// By coolant temperature: the speed to hold and the air it is likely to need. Tables, held at their ends.
struct IdleTargetParameters {
    std::vector<double> coolant = {-20.0, 20.0, 35.0, 45.0, 55.0, 65.0, 75.0, 85.0};  ///< [°C]
    std::vector<double> speed = {136.1, 115.2, 106.8, 97.4, 88.0, 80.6, 73.3, 69.1};  ///< [rad/s]: 1,300 … 660 rpm
    std::vector<double> area = {23e-6, 16e-6, 13e-6, 11.6e-6, 10.3e-6, 9.2e-6, 8.2e-6, 7.5e-6};  ///< [m²]
    double descent_time = 0.6;  ///< [s] in which a speed above the target is let down to it
};

[[nodiscard]] const Description& description(Tag<IdleTargetParameters>);

void check(const IdleTargetParameters& p, const std::string& path);

/// Air: PI on speed, limits, what is added for a known load and after the pedal is let go, and what is learned.
struct IdleAirParameters {
    double proportional = 5.0e-8;    ///< [m²·s/rad]
    double integral = 1.2e-7;        ///< [m²/rad]
    double least = 2.0e-6;           ///< [m²] smallest opening requested
    double most = 40.0e-6;           ///< [m²]
    double start_area = 12.0e-6;     ///< [m²] while the starter turns
    double accessory_area = 3.2e-6;  ///< [m²] added as soon as a load is announced
    double dashpot_area = 6.0e-6;    ///< [m²] added when the pedal is let go, fading
    double dashpot_time = 0.4;       ///< [s] of the fading
    double learn_time = 20.0;        ///< [s] in which the integral part moves into the learned one
    double learn_band = 3.0;         ///< [rad/s] of speed error within which it learns
    double learn_limit = 4.0e-6;     ///< [m²] of learned air, either way
};

[[nodiscard]] const Description& description(Tag<IdleAirParameters>);

void check(const IdleAirParameters& p, const std::string& path);

/// Spark: a reserve of retard that is given back at once when the speed falls, and enlarged when it rises.
struct IdleSparkParameters {
    double base = 0.35;        ///< [rad] of retard from best torque at the target speed
    double gain = 0.030;       ///< [rad·s/rad]
    double most = 0.70;        ///< [rad]
    double start = 0.17;       ///< [rad] while the starter turns
    double blend_time = 0.15;  ///< [s] between driving and idling
};

[[nodiscard]] const Description& description(Tag<IdleSparkParameters>);

void check(const IdleSparkParameters& p, const std::string& path);

/// When the governor takes over and lets go, and the fuel cut on the overrun.
struct IdleEntryParameters {
    double pedal_released = 0.01;  ///< [share of travel] below it the foot is off
    double pedal_pressed = 0.02;   ///< above it the driver drives
    double entry_band = 20.0;      ///< [rad/s] above the target within which the governor takes over at once
    double entry_time = 2.0;       ///< [s] after which it takes over at any speed
    bool overrun_cut = true;       ///< fuel cut while the foot is off and the speed is high
    double cut_above = 95.0;       ///< [rad/s] above the target
    double resume_above = 55.0;    ///< [rad/s] above the target
    double cut_delay = 1.0;        ///< [s] with the foot off and the engine running
};

[[nodiscard]] const Description& description(Tag<IdleEntryParameters>);

void check(const IdleEntryParameters& p, const std::string& path);

struct IdleParameters {
    IdleTargetParameters target;
    IdleAirParameters air;
    IdleSparkParameters spark;
    IdleEntryParameters entry;
};

[[nodiscard]] const Description& description(Tag<IdleParameters>);

}  // namespace twintrack::engine
