// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <vector>

#include "twintrack/control/unit.hpp"
#include "twintrack/core/random.hpp"
#include "twintrack/plant/throttle_body.hpp"
#include "twintrack/sensing/acquisition.hpp"
#include "twintrack/sensing/assembly.hpp"

/// A small closed loop for the tests of this layer: body, tracks, converter, any unit; the classical Runge–Kutta
/// method at a fixed 20 µs, independent of the library's engine.
namespace rig {

using twintrack::Time;

struct Setup {
    twintrack::plant::BodyMechanics body;
    std::vector<twintrack::sensing::TrackParameters> throttle = twintrack::sensing::ThrottleBodyParameters{}.tracks;
    std::vector<twintrack::sensing::TrackParameters> pedal = twintrack::sensing::PedalParameters{}.tracks;
    twintrack::sensing::AcquisitionParameters acquisition;
    twintrack::plant::BridgeParameters bridge;
    std::function<double(double)> foot = [](double) { return 0.0; };  ///< pedal travel over time [s]
    std::function<void(double, twintrack::control::Input&)> spoil = [](double, auto&) {};
    double supply = 13.5;
    bool leads_exchanged = false;
    bool noise = true;
};

struct Sample {
    double time;     ///< [s]
    double opening;  ///< true
    double speed;    ///< [rad/s]
    double current;  ///< [A]
    twintrack::control::Command command;
    twintrack::control::Input input;
};

/// Runs for `duration` [s] at 1 kHz, or until `stop` says so.
[[nodiscard]] std::vector<Sample> run(
    const Setup& setup, const twintrack::control::Unit& unit, double duration,
    const std::function<bool()>& stop = [] { return false; });

/// Rest for 8 s, then two presses of 1.5 s up, 1 s hold, 1.5 s down; `second` is how far the second goes.
[[nodiscard]] double two_presses(double time, double second = 1.0);

}  // namespace rig
