// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/describe.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/sensing/acquisition.hpp"
#include "twintrack/sensing/assembly.hpp"
#include "twintrack/sensing/brake.hpp"
#include "twintrack/sensing/track.hpp"

namespace twintrack::sensing {

const Description& description(Tag<AcquisitionParameters>) {
    using P = AcquisitionParameters;
    static const Description described =
        describe<P>({{&P::filter_time, "filter_time", "s", "time constant of the input filter", {0.0, 0.1}},
                     {&P::bits, "bits", "", "resolution of the converter in bits", {6.0, 16.0}},
                     {&P::ratiometric, "ratiometric", "", "converter referred to the sensors' supply"},
                     {&P::nominal_reference, "nominal_reference", "V", "nominal sensor supply", {1.0, 12.0}}});
    return described;
}

const Description& description(Tag<IdleSwitchParameters>) {
    using P = IdleSwitchParameters;
    static const Description described =
        describe<P>({{&P::fitted, "fitted", "", "the pedal has an idle-validation switch"},
                     {&P::opens_at, "opens_at", "", "travel at which it opens, share", {0.005, 0.5}},
                     {&P::hysteresis, "hysteresis", "", "travel by which it closes below that", {0.0, 0.5}}});
    return described;
}

const Description& description(Tag<PedalParameters>) {
    using P = PedalParameters;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the part"},
                     {&P::origin, "origin", "", "what the numbers rest on"},
                     {&P::arrangement, "arrangement", "", "arrangement of the tracks"},
                     {&P::travel, "travel", "rad", "travel of the pedal arm", {0.05, 1.5}},
                     {&P::idle_switch, "idle_switch", "", "idle-validation switch"},
                     {&P::supply, "supply", "", "supply of the tracks"},
                     {&P::tracks, "tracks", "", "position tracks", {2.0, 3.0}}});
    return described;
}

const Description& description(Tag<ThrottleBodyParameters>) {
    using P = ThrottleBodyParameters;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the part"},
                     {&P::origin, "origin", "", "what the numbers rest on"},
                     {&P::arrangement, "arrangement", "", "arrangement of the tracks"},
                     {&P::supply, "supply", "", "supply of the tracks"},
                     {&P::connectors, "connectors", "", "connectors of the assembly"},
                     {&P::mechanics, "mechanics", "", "motor, springs, friction, stops"},
                     {&P::thermal, "thermal", "", "motor that warms up"},
                     {&P::air_path, "air_path", "", "bore and leak; zero at the closed stop"},
                     {&P::tracks, "tracks", "", "position tracks", {2.0, 3.0}}});
    return described;
}

const Description& description(Tag<BrakeSensorParameters>) {
    using P = BrakeSensorParameters;
    static const Description described =
        describe<P>({{&P::released, "released", "", "output when released, share of the reference", {0.0, 1.0}},
                     {&P::full, "full", "", "output at full braking, share of the reference", {0.0, 1.0}},
                     {&P::applied, "applied", "", "braking that counts as applied", {0.0, 1.0}},
                     {&P::hard, "hard", "", "braking that counts as hard", {0.0, 1.0}}});
    return described;
}

const Description& description(Tag<TrackParameters>) {
    using P = TrackParameters;
    static const Description described = describe<P>(
        {{&P::kind, "kind", "", "kind of sensor"},
         {&P::position, "position", "", "knots, share of travel", {0.0, 1.0}},
         {&P::ratio, "ratio", "", "output at the knots, share of supply", {0.0, 1.0}},
         {&P::bow, "bow", "", "bow of the characteristic, share of supply", {-0.1, 0.1}},
         {&P::hysteresis, "hysteresis", "", "half width of the play, share of travel", {0.0, 0.1}},
         {&P::noise, "noise", "", "rms noise, share of supply", {0.0, 0.1}},
         {&P::roughness, "roughness", "", "rms roughness of the path, share of supply", {0.0, 0.01}},
         {&P::grain, "grain", "", "distance of its independent values, share of travel", {1e-4, 0.5}},
         {&P::clamp_low, "clamp_low", "", "lower output clamp, share of supply", {0.0, 0.5}},
         {&P::clamp_high, "clamp_high", "", "upper output clamp, share of supply", {0.5, 1.0}},
         {&P::resistance, "resistance", "ohm", "resistance: potentiometer end to end, Hall output", {1.0, 1e5}}});
    return described;
}

void check(const BrakeSensorParameters& p, const std::string& path) {
    if (p.full == p.released)
        throw InvalidParameter(path + ".full", "must differ from released (" + std::to_string(p.released) + ")");
}

}  // namespace twintrack::sensing
