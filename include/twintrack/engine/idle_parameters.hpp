// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/core/fields.hpp"

namespace twintrack::engine {

/// By coolant temperature: the speed to hold and the air it is likely to need. Tables, held at their ends.
struct IdleTargetParameters {
    std::vector<double> coolant = {-20.0, 20.0, 35.0, 45.0, 55.0, 65.0, 75.0, 85.0};             ///< [°C]
    std::vector<double> speed = {131.0, 110.0, 104.5, 96.4, 88.8, 79.2, 71.7, 68.1};             ///< [rad/s]
    std::vector<double> area = {22e-6, 15e-6, 13e-6, 11.5e-6, 10.4e-6, 9.0e-6, 8.0e-6, 7.4e-6};  ///< [m²]
    double descent_time = 0.6;  ///< [s] in which a speed above the target is let down to it
};

constexpr auto fields(Tag<IdleTargetParameters>) {
    using P = IdleTargetParameters;
    using List = std::vector<double>;
    return std::make_tuple(
        Field<P, List>{&P::coolant, "coolant", "degC", "knots of coolant temperature", {-60.0, 200.0}},
        Field<P, List>{&P::speed, "speed", "rad/s", "idle speed at the knots", {10.0, 400.0}},
        Field<P, List>{&P::area, "area", "m^2", "throttle opening to begin with", {0.0, 1e-3}},
        Field<P, double>{&P::descent_time, "descent_time", "s", "time to let the speed down", {0.0, 20.0}});
}

void check(const IdleTargetParameters& p, const std::string& path);

/// Air: PI on speed, limits, what is added for a known load and after the pedal is let go, and what is learned.
struct IdleAirParameters {
    double proportional = 5.0e-8;    ///< [m²·s/rad]
    double integral = 1.2e-7;        ///< [m²/rad]
    double least = 2.0e-6;           ///< [m²] smallest opening asked for
    double most = 40.0e-6;           ///< [m²]
    double start_area = 12.0e-6;     ///< [m²] while the starter turns
    double accessory_area = 3.2e-6;  ///< [m²] added as soon as a load is announced
    double dashpot_area = 6.0e-6;    ///< [m²] added when the pedal is let go, fading
    double dashpot_time = 0.4;       ///< [s] of the fading
    double learn_time = 20.0;        ///< [s] in which the integral part moves into the learned one
    double learn_band = 3.0;         ///< [rad/s] of speed error within which it learns
    double learn_limit = 4.0e-6;     ///< [m²] of learned air, either way
};

constexpr auto fields(Tag<IdleAirParameters>) {
    using P = IdleAirParameters;
    return std::make_tuple(
        Field<P, double>{&P::proportional, "proportional", "m^2*s/rad", "air by speed error", {0.0, 1e-5}},
        Field<P, double>{&P::integral, "integral", "m^2/rad", "air by integrated speed error", {0.0, 1e-5}},
        Field<P, double>{&P::least, "least", "m^2", "smallest opening asked for", {0.0, 1e-3}},
        Field<P, double>{&P::most, "most", "m^2", "largest opening asked for", {0.0, 1e-2}},
        Field<P, double>{&P::start_area, "start_area", "m^2", "opening while the starter turns", {0.0, 1e-3}},
        Field<P, double>{&P::accessory_area, "accessory_area", "m^2", "opening for an announced load", {0.0, 1e-3}},
        Field<P, double>{&P::dashpot_area, "dashpot_area", "m^2", "added when the pedal is let go", {0.0, 1e-3}},
        Field<P, double>{&P::dashpot_time, "dashpot_time", "s", "time in which that fades", {1e-3, 20.0}},
        Field<P, double>{&P::learn_time, "learn_time", "s", "time in which idle air is learned", {0.1, 1e4}},
        Field<P, double>{&P::learn_band, "learn_band", "rad/s", "speed error within which it learns", {0.0, 50.0}},
        Field<P, double>{&P::learn_limit, "learn_limit", "m^2", "most that is learned, either way", {0.0, 1e-3}});
}

void check(const IdleAirParameters& p, const std::string& path);

/// Spark: a reserve of retard that is given back at once when the speed falls, and enlarged when it rises.
struct IdleSparkParameters {
    double base = 0.35;        ///< [rad] of retard from best torque at the target speed
    double gain = 0.030;       ///< [rad·s/rad]
    double most = 0.70;        ///< [rad]
    double start = 0.17;       ///< [rad] while the starter turns
    double blend_time = 0.15;  ///< [s] between driving and idling
};

constexpr auto fields(Tag<IdleSparkParameters>) {
    using P = IdleSparkParameters;
    return std::make_tuple(Field<P, double>{&P::base, "base", "rad", "spark retard at the target", {0.0, 1.0}},
                           Field<P, double>{&P::gain, "gain", "s", "spark retard by speed error", {0.0, 1.0}},
                           Field<P, double>{&P::most, "most", "rad", "largest spark retard", {0.0, 1.2}},
                           Field<P, double>{&P::start, "start", "rad", "spark retard while starting", {0.0, 1.0}},
                           Field<P, double>{&P::blend_time, "blend_time", "s", "change to driving", {0.0, 5.0}});
}

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

constexpr auto fields(Tag<IdleEntryParameters>) {
    using P = IdleEntryParameters;
    return std::make_tuple(
        Field<P, double>{&P::pedal_released, "pedal_released", "", "pedal travel of a foot off", {0.0, 0.5}},
        Field<P, double>{&P::pedal_pressed, "pedal_pressed", "", "pedal travel of a foot on", {0.0, 0.5}},
        Field<P, double>{&P::entry_band, "entry_band", "rad/s", "speed excess of immediate entry", {0.0, 500.0}},
        Field<P, double>{&P::entry_time, "entry_time", "s", "entry at any speed", {0.0, 60.0}},
        Field<P, bool>{&P::overrun_cut, "overrun_cut", "", "fuel cut on the overrun"},
        Field<P, double>{&P::cut_above, "cut_above", "rad/s", "speed excess that cuts", {1.0, 1000.0}},
        Field<P, double>{&P::resume_above, "resume_above", "rad/s", "speed excess that resumes", {0.0, 1000.0}},
        Field<P, double>{&P::cut_delay, "cut_delay", "s", "foot off before the cut", {0.0, 60.0}});
}

void check(const IdleEntryParameters& p, const std::string& path);

struct IdleParameters {
    IdleTargetParameters target;
    IdleAirParameters air;
    IdleSparkParameters spark;
    IdleEntryParameters entry;
};

constexpr auto fields(Tag<IdleParameters>) {
    using P = IdleParameters;
    return std::make_tuple(Field<P, IdleTargetParameters>{&P::target, "target", "", "idle speed by coolant"},
                           Field<P, IdleAirParameters>{&P::air, "air", "", "air by speed"},
                           Field<P, IdleSparkParameters>{&P::spark, "spark", "", "spark by speed"},
                           Field<P, IdleEntryParameters>{&P::entry, "entry", "", "entry, exit and overrun"});
}

}  // namespace twintrack::engine
