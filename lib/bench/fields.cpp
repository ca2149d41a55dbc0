// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/engine_setup.hpp"
#include "twintrack/bench/parameters.hpp"
#include "twintrack/bench/wiring.hpp"
#include "twintrack/core/describe.hpp"

namespace twintrack::bench {

const Description& description(Tag<EngineCourse>) {
    using P = EngineCourse;
    static const Description described =
        describe<P>({{&P::start_at, "start_at", "s", "when the starter begins to turn", {0.0, 1e6}},
                     {&P::start_for, "start_for", "s", "longest time the starter turns", {0.0, 60.0}},
                     {&P::key_off, "key_off", "s", "when the key is turned off", {0.0, 1e6}},
                     {&P::electrical_power, "electrical_power", "W", "electrical load", {0.0, 1e4}},
                     {&P::accessory_from, "accessory_from", "s", "when a load comes", {0.0, 1e6}},
                     {&P::accessory_to, "accessory_to", "s", "when the load goes", {0.0, 1e6}},
                     {&P::accessory_torque, "accessory_torque", "N*m", "torque of the load", {0.0, 200.0}},
                     {&P::accessory_power, "accessory_power", "W", "electrical power of the load", {0.0, 1e4}},
                     {&P::announced, "announced", "", "the idle governor is told of the load"}});
    return described;
}

const Description& description(Tag<EngineSetup>) {
    using P = EngineSetup;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the engine"},
                     {&P::origin, "origin", "", "what the numbers rest on"},
                     {&P::model, "model", "", "manifold, cylinders, crankshaft"},
                     {&P::idle, "idle", "", "idle governor"},
                     {&P::learned_air, "learned_air", "m^2", "idle air learned before", {-1e-3, 1e-3}},
                     {&P::altitude, "altitude", "m", "height above the sea", {-1000.0, 11000.0}},
                     {&P::coolant, "coolant", "degC", "coolant temperature", {-60.0, 200.0}},
                     {&P::air_meter, "air_meter", "", "air is measured ahead of the throttle"},
                     {&P::mixture, "mixture", "", "fuel by the air meter"},
                     {&P::course, "course", "", "what key, starter and loads do"}});
    return described;
}

const Description& description(Tag<BenchParameters>) {
    using P = BenchParameters;
    static const Description described =
        describe<P>({{&P::pedal, "pedal", "", "accelerator pedal"},
                     {&P::body, "body", "", "throttle body"},
                     {&P::brake, "brake", "", "sensor of the brake"},
                     {&P::acquisition, "acquisition", "", "filter and converter"},
                     {&P::bridge, "bridge", "", "motor bridge and supply"},
                     {&P::guard, "guard", "", "protection of the bridge"},
                     {&P::power, "power", "", "supply and reset of the controller"},
                     {&P::wiring, "wiring", "", "everything between terminals and pins"},
                     {&P::controller, "controller", "", "position controller"},
                     {&P::learn, "learn", "", "range learn"},
                     {&P::monitor, "monitor", "", "plausibility monitor"},
                     {&P::engine, "engine", "", "engine behind the throttle"},
                     {&P::supply, "supply", "V", "battery voltage", {0.0, 36.0}},
                     {&P::reference, "reference", "V", "sensor supply voltage", {0.0, 12.0}},
                     {&P::control_period, "control_period", "s", "period of the controller", {1e-4, 0.1}},
                     {&P::record_period, "record_period", "s", "period of the record", {1e-4, 10.0}},
                     {&P::tolerance, "tolerance", "", "relative tolerance of the integration", {1e-12, 1e-2}},
                     {&P::seed, "seed", "", "seed of the noise", {0.0, 2147483647.0}},
                     {&P::case_number, "case_number", "", "case number, part of the noise key", {0.0, 2147483647.0}}});
    return described;
}

const Description& description(Tag<WiringParameters>) {
    using P = WiringParameters;
    static const Description described =
        describe<P>({{&P::kind, "kind", "", "what joins the parts and the controller"},
                     {&P::harness, "harness", "", "wires and controller's side"},
                     {&P::pin_out, "pin_out", "", "which terminal goes to which pin", {0.0, 64.0}}});
    return described;
}

}  // namespace twintrack::bench
