// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/pickup.hpp"

#include <algorithm>

#include "twintrack/core/exponential.hpp"

namespace twintrack::wiring {

double pickup(const HarnessParameters& p, const sensing::TrackParameters& track, double filter_time) {
    if (p.sensor_wire.shielded) return 0.0;
    const bool wiper = track.kind == sensing::TrackKind::potentiometer;
    const double ohms = wiper ? p.wiper_resistance + track.resistance / 4 : track.resistance;  // a wiper in the middle
    const double coupling = p.sensor_wire.coupling * p.sensor_wire.length;
    const double edge = p.controller.edge_time;
    const double settling = ohms * (coupling + p.controller.input_capacitance);
    const double pulse = ohms * coupling / edge * (1.0 - exponential(-edge / settling));
    return filter_time > 0.0 ? std::min(ohms * coupling / filter_time, pulse) : pulse;
}

}  // namespace twintrack::wiring
