// SPDX-License-Identifier: BSD-3-Clause
// Expectations are analytic: the charge that an edge pushes through a capacitor.
#include "twintrack/wiring/pickup.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::wiring;

/// R C' = U' C, integrated in small steps through edge, decay and filter: the filter's output after one edge.
double stepped(const HarnessParameters& p, double ohms, double filter_time) {
    const double coupling = p.sensor_wire.coupling * p.sensor_wire.length, edge = p.controller.edge_time;
    const double settling = ohms * (coupling + p.controller.input_capacitance), step = edge / 400;
    double v = 0.0, out = 0.0, most = 0.0;
    for (double t = 0.0; t < 20 * settling; t += step) {
        v += step * ((t < edge ? ohms * coupling / edge : 0.0) - v) / settling;
        out += filter_time > 0.0 ? step * (v - out) / filter_time : 0.0;
        most = std::max(most, filter_time > 0.0 ? out : v);
    }
    return most;
}

TEST(Pickup, IsWhatTheCircuitGives) {
    HarnessParameters p;
    const sensing::TrackParameters hall{.kind = sensing::TrackKind::hall, .resistance = 1000.0};
    EXPECT_NEAR(pickup(p, hall, 0.0), stepped(p, 1000.0, 0.0), 0.01 * pickup(p, hall, 0.0));
    EXPECT_NEAR(pickup(p, hall, 0.01), stepped(p, 1000.0, 0.01), 0.03 * pickup(p, hall, 0.01));
}

TEST(Pickup, GrowsWithLengthAndWithTheEdgeWhereNothingFilters) {
    HarnessParameters p, longer, slower;
    longer.sensor_wire.length = 2 * p.sensor_wire.length;
    slower.controller.edge_time = 1e-4;
    const sensing::TrackParameters t;
    EXPECT_NEAR(pickup(longer, t, 3e-4), 2 * pickup(p, t, 3e-4), 1e-12);
    EXPECT_LT(pickup(slower, t, 0.0), 0.2 * pickup(p, t, 0.0));
    EXPECT_EQ(pickup(slower, t, 3e-4), pickup(p, t, 3e-4)) << "a filter sees only the charge";
    p.sensor_wire.shielded = true;
    EXPECT_EQ(pickup(p, t, 0.0), 0.0);
}

TEST(Pickup, HasNoMean) {
    for (const double duty : {0.1, 0.5, -0.3}) {
        double sum = 0.0;
        for (int k = 0; k < 1000; ++k) sum += disturbance(0.01, duty, (k + 0.5) / 1000);
        EXPECT_NEAR(sum, 0.0, 1e-9);
    }
    EXPECT_EQ(disturbance(0.01, 1.0, 0.4), 0.0) << "a leg that never switches disturbs nobody";
}

}  // namespace
