// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <span>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/fault/fault.hpp"

namespace twintrack::bench {

/// What reaches the controller when pedal and blade are held still, with the motor off.
struct StaticReadings {
    wiring::TrackValues pedal_volts{}, throttle_volts{};  ///< [V] at the controller's pins
    control::Readings pedal{}, throttle{};                ///< [share of converter full scale]
};

/// The readings with pedal and blade both at each of `positions` [share of travel]: tracks, wiring and reference as
/// they are under `faults` at their start, but without noise, hysteresis and rounding to converter codes. What an
/// averaged reading of a real bench comes to. Throws InvalidParameter for faults of places that do not exist, or when
/// the equations of the wiring have no solution.
[[nodiscard]] std::vector<StaticReadings> static_readings(const BenchParameters& p, std::span<const double> positions,
                                                          const std::vector<fault::Fault>& faults = {});

}  // namespace twintrack::bench
