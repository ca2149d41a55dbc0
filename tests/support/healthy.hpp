// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>
#include <cstdlib>
#include <vector>

#include "support/draw.hpp"
#include "twintrack/bench/parameters.hpp"
#include "twintrack/core/number.hpp"

/// Healthy benches drawn from tolerances.
namespace support {

/// How many random draws: a few in every run, more in a sweep that asks for them by TWINTRACK_DRAWS.
inline int draws(int usual) {
    const char* asked = std::getenv("TWINTRACK_DRAWS");
    return asked ? std::max(usual, std::atoi(asked)) : usual;
}

inline twintrack::sensing::TrackParameters track(Draw& draw, double start, double end) {
    return {.ratio = {start, end},
            .bow = draw.uniform(-0.0005, 0.0005),
            .hysteresis = draw.uniform(0.0, 0.0003),
            .noise = draw.uniform(0.0, 0.0004)};
}

/// Half-slope, parallel with offset, opposed or knee, ends inside 7 … 93 % of the supply, first track over half of it.
inline std::vector<twintrack::sensing::TrackParameters> pair(Draw& draw) {
    const double low = draw.uniform(0.14, 0.25), high = draw.uniform(0.72, 0.92);
    const double kind = draw.uniform(0.0, 4.0);
    if (kind < 1.0) return {track(draw, low, high), track(draw, 0.5 * low, 0.5 * high)};
    if (kind < 2.0) return {track(draw, low, 0.78 * high), track(draw, low + 0.2, 0.78 * high + 0.2)};
    if (kind < 3.0) return {track(draw, low, high), track(draw, 1.0 - low, 1.0 - high)};
    twintrack::sensing::TrackParameters knee = track(draw, low, high);
    knee.position = {0.0, draw.uniform(0.4, 0.7), 1.0};
    knee.ratio = {0.07, 0.9, 0.9};
    knee.bow = 0.0;
    return {track(draw, low, high), knee};
}

/// Inside the ranges that are typical of such bodies (from memory), springs stronger than the friction.
inline twintrack::plant::BodyMechanics body(Draw& draw) {
    twintrack::plant::BodyMechanics b;
    b.inertia = draw.uniform(0.0018, 0.0032);
    b.motor.resistance = draw.uniform(1.2, 2.4);
    b.motor.constant = draw.uniform(0.016, 0.021);
    b.motor.temperature = draw.uniform(-20.0, 80.0);
    b.friction.coulomb = draw.uniform(0.03, 0.14);
    b.friction.breakaway = b.friction.coulomb * draw.uniform(1.0, 1.3);
    b.friction.viscous = draw.uniform(0.001, 0.01);
    b.springs.close_preload = b.friction.breakaway * draw.uniform(1.3, 2.0);
    b.springs.open_preload = twintrack::max(0.2, b.friction.breakaway * draw.uniform(1.5, 2.5));
    b.springs.rest_angle = draw.uniform(0.09, 0.21);
    b.stops.open_angle = draw.uniform(1.40, 1.56);
    return b;
}

/// Tracks, body and supply of a bench.
inline void draw_healthy(twintrack::bench::BenchParameters& p, Draw& draw) {
    p.pedal.tracks = pair(draw);
    p.body.tracks = pair(draw);
    p.body.mechanics = body(draw);
    p.supply = draw.uniform(11.0, 14.5);
}

}  // namespace support
