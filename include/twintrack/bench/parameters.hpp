// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/bench/engine_setup.hpp"
#include "twintrack/bench/wiring.hpp"
#include "twintrack/control/controller.hpp"
#include "twintrack/control/learn_parameters.hpp"
#include "twintrack/control/power.hpp"
#include "twintrack/core/described.hpp"
#include "twintrack/monitor/parameters.hpp"
#include "twintrack/plant/bridge_guard.hpp"
#include "twintrack/sensing/acquisition.hpp"
#include "twintrack/sensing/assembly.hpp"
#include "twintrack/sensing/brake.hpp"

namespace twintrack::bench {

/// A bench: a pedal, a throttle body, the controller that both are wired to and, if wanted, the engine behind. A
/// description; it never changes while it is simulated.
struct BenchParameters {
    sensing::PedalParameters pedal;
    sensing::ThrottleBodyParameters body;
    sensing::BrakeSensorParameters brake;
    sensing::AcquisitionParameters acquisition;
    plant::BridgeParameters bridge;
    plant::BridgeGuardParameters guard;
    control::PowerParameters power;
    WiringParameters wiring;
    control::ControllerParameters controller;
    control::LearnParameters learn;
    monitor::MonitorParameters monitor;
    std::optional<EngineSetup> engine;
    double supply = 13.5;           ///< [V] open-circuit voltage of the battery
    double reference = 5.0;         ///< [V] of the sensor supply
    double control_period = 0.001;  ///< [s] a whole number of microseconds
    double record_period = 0.001;   ///< [s] a whole multiple of the control period
    double tolerance = 1e-6;        ///< relative, of the exact solver; the absolute one is a tenth of it
    int seed = 1;                   ///< of the noise
    int case_number = 0;            ///< of the noise
};

[[nodiscard]] const Description& description(Tag<BenchParameters>);

void check(const BenchParameters& p, const std::string& path);

/// What is odd about the bench's pin-out, in sentences; it is simulated all the same. Empty when nothing is.
[[nodiscard]] std::vector<std::string> remarks(const BenchParameters& p);

}  // namespace twintrack::bench
