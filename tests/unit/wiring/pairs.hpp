// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "twintrack/sensing/assembly.hpp"

/// Invented parts of each family of connectors, for the tests of the wiring.
namespace twintrack::test {

struct Pair {
    std::string name;
    sensing::PedalParameters pedal;
    sensing::ThrottleBodyParameters body;
};

inline sensing::TrackParameters line(double at_rest, double at_full,
                                     sensing::TrackKind kind = sensing::TrackKind::hall) {
    return {.kind = kind, .position = {0.0, 1.0}, .ratio = {at_rest, at_full}};
}

/// Six terminals, eight terminals, motor and sensors apart with three tracks; a shared and a separate pedal supply;
/// Hall tracks and potentiometers.
inline std::vector<Pair> pairs() {
    using sensing::Connectors;
    using sensing::Supply;
    using sensing::TrackKind;
    sensing::PedalParameters half_slope, knee;
    knee.supply = Supply::shared;
    knee.tracks = {line(0.2, 0.8, TrackKind::potentiometer), line(0.1, 0.9, TrackKind::potentiometer),
                   line(0.9, 0.1, TrackKind::potentiometer)};
    sensing::ThrottleBodyParameters six, eight, split;
    eight.supply = Supply::separate;
    eight.tracks = {line(0.1, 0.8), line(0.25, 0.95)};
    split.connectors = Connectors::split;
    split.tracks = {line(0.1, 0.9, TrackKind::potentiometer), line(0.9, 0.1, TrackKind::potentiometer), line(0.1, 0.5)};
    return {{"separate pedal, six terminals", half_slope, six},
            {"separate pedal, eight terminals", half_slope, eight},
            {"shared pedal, eight terminals", knee, eight},
            {"shared pedal, split connectors", knee, split}};
}

}  // namespace twintrack::test
