// SPDX-License-Identifier: BSD-3-Clause
// A controller with straight learned tracks, and readings for it.
#pragma once
#include "rig.hpp"
#include "twintrack/control/controller.hpp"

namespace controller_rig {

using namespace twintrack;
using namespace twintrack::control;

inline double travel(const plant::BodyMechanics& b) { return b.stops.open_angle - b.stops.closed_angle; }

inline LearnedRange learned_of(const plant::BodyMechanics& b) {
    return {{straight_track(0.15, 0.78), straight_track(0.075, 0.39)},
            {straight_track(0.12, 0.88), straight_track(0.88, 0.12)},
            (plant::default_angle(b) - b.stops.closed_angle) / travel(b),
            "",
            ""};
}

inline ControllerParameters straight_map() {
    ControllerParameters p;
    p.pedal_map = {{0.0, 1.0}, {0.0, 1.0}};
    return p;
}

/// The loop that never rests: its integral works on any error beyond a code.
inline ControllerParameters restless() {
    ControllerParameters p = straight_map();
    p.rest_band = 0.0;
    p.integral_ratio = 0.5;
    return p;
}

inline Controller controller_of(const plant::BodyMechanics& b, int bits = 12,
                                const ControllerParameters& p = straight_map()) {
    return {p, b, learned_of(b), milliseconds(1), 0.0003, bits};
}

/// Readings with pedal and blade at shares of their travel.
inline Input at(double time, double pedal, double opening, double supply = 13.5) {
    Input in;
    in.time = from_seconds(time);
    in.pedal = {0.15 + 0.63 * pedal, 0.075 + 0.315 * pedal, 0.0};
    in.throttle = {0.12 + 0.76 * opening, 0.88 - 0.76 * opening, 0.0};
    in.supply = supply;
    return in;
}

}  // namespace controller_rig
