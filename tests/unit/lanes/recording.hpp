// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/lanes/replay.hpp"

/// Duties to replay: ten seconds of a closed loop with noisy sensors.
namespace support {

/// Large and small steps on both sides of the default position; the blade is thrown against the open stop and held
/// there, later against the closed one, by a duty that no controller plays.
[[nodiscard]] std::vector<twintrack::lanes::DutySample> recorded_duties(const twintrack::bench::BenchParameters& p);

/// The exact solver's angle at each tick [rad], at a tolerance far below what is measured against it.
[[nodiscard]] std::vector<double> exact_angles(const twintrack::bench::BenchParameters& p,
                                               const std::vector<twintrack::lanes::DutySample>& played);

/// Largest distance of two angles [degrees] during the 40 ms from an impact on a stop, and outside of that.
struct Distance {
    double near_stop = 0.0, elsewhere = 0.0;
    int impacts = 0;
};
[[nodiscard]] Distance distance(const twintrack::plant::BodyMechanics& body, const std::vector<double>& angles,
                                const std::vector<double>& exact);

}  // namespace support
