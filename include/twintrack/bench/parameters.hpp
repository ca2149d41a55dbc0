// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/bench/engine_setup.hpp"
#include "twintrack/bench/wiring.hpp"
#include "twintrack/control/controller.hpp"
#include "twintrack/control/learn_parameters.hpp"
#include "twintrack/core/fields.hpp"
#include "twintrack/monitor/parameters.hpp"
#include "twintrack/plant/bridge.hpp"
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
    WiringParameters wiring;
    control::ControllerParameters controller;
    control::LearnParameters learn;
    monitor::MonitorParameters monitor;
    std::optional<EngineSetup> engine;
    double supply = 13.5;           ///< [V] open-circuit voltage of the battery
    double reference = 5.0;         ///< [V] of the sensor supply
    double control_period = 0.001;  ///< [s] a whole number of microseconds
    double record_period = 0.001;   ///< [s] a whole multiple of the control period
    double tolerance = 1e-6;        ///< relative, of the exact engine; the absolute one is a tenth of it
    int seed = 1;                   ///< of the noise
    int case_number = 0;            ///< of the noise
};

constexpr auto fields(Tag<BenchParameters>) {
    using P = BenchParameters;
    return std::make_tuple(
        Field<P, sensing::PedalParameters>{&P::pedal, "pedal", "", "accelerator pedal"},
        Field<P, sensing::ThrottleBodyParameters>{&P::body, "body", "", "throttle body"},
        Field<P, sensing::BrakeSensorParameters>{&P::brake, "brake", "", "sensor of the brake"},
        Field<P, sensing::AcquisitionParameters>{&P::acquisition, "acquisition", "", "filter and converter"},
        Field<P, plant::BridgeParameters>{&P::bridge, "bridge", "", "motor bridge and supply"},
        Field<P, WiringParameters>{&P::wiring, "wiring", "", "everything between terminals and pins"},
        Field<P, control::ControllerParameters>{&P::controller, "controller", "", "position controller"},
        Field<P, control::LearnParameters>{&P::learn, "learn", "", "range learn"},
        Field<P, monitor::MonitorParameters>{&P::monitor, "monitor", "", "plausibility monitor"},
        Field<P, std::optional<EngineSetup>>{&P::engine, "engine", "", "engine behind the throttle"},
        Field<P, double>{&P::supply, "supply", "V", "battery voltage", {0.0, 36.0}},
        Field<P, double>{&P::reference, "reference", "V", "sensor supply voltage", {0.0, 12.0}},
        Field<P, double>{&P::control_period, "control_period", "s", "period of the controller", {1e-4, 0.1}},
        Field<P, double>{&P::record_period, "record_period", "s", "period of the record", {1e-4, 10.0}},
        Field<P, double>{&P::tolerance, "tolerance", "", "relative tolerance of the integration", {1e-12, 1e-2}},
        Field<P, int>{&P::seed, "seed", "", "seed of the noise", {0.0, 2147483647.0}},
        Field<P, int>{&P::case_number, "case_number", "", "case number, part of the noise key", {0.0, 2147483647.0}});
}

void check(const BenchParameters& p, const std::string& path);

/// What is odd about the bench's pin-out, in sentences; it is simulated all the same. Empty when nothing is.
[[nodiscard]] std::vector<std::string> remarks(const BenchParameters& p);

}  // namespace twintrack::bench
