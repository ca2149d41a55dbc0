// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/describe.hpp"
#include "twintrack/wiring/controller_side.hpp"
#include "twintrack/wiring/harness_parameters.hpp"
#include "twintrack/wiring/netlist.hpp"
#include "twintrack/wiring/pin_out.hpp"
#include "twintrack/wiring/wire.hpp"

namespace twintrack::wiring {

const Description& description(Tag<HarnessParameters>) {
    using P = HarnessParameters;
    static const Description described = describe<P>(
        {{&P::sensor_wire, "sensor_wire", "", "each wire of a track"},
         {&P::motor_wire, "motor_wire", "", "each motor lead"},
         {&P::supply_wire, "supply_wire", "", "battery to controller"},
         {&P::ground_wire, "ground_wire", "", "controller to ground"},
         {&P::hall_supply_resistance, "hall_supply_resistance", "ohm", "load of one Hall track", {10.0, 1e6}},
         {&P::wiper_resistance, "wiper_resistance", "ohm", "wiper contact", {1e-3, 1e6}},
         {&P::controller, "controller", "", "the controller's side"}});
    return described;
}

const Description& description(Tag<Resistor>) {
    using P = Resistor;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the element"},
                     {&P::a, "a", "", "first node", node_range},
                     {&P::b, "b", "", "second node", node_range},
                     {&P::resistance, "resistance", "ohm", "resistance", resistances}});
    return described;
}

const Description& description(Tag<VoltageSource>) {
    using P = VoltageSource;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the element"},
                     {&P::plus, "plus", "", "positive node", node_range},
                     {&P::minus, "minus", "", "negative node", node_range},
                     {&P::voltage, "voltage", "V", "source voltage", {-1000.0, 1000.0}},
                     {&P::resistance, "resistance", "ohm", "inner resistance", resistances}});
    return described;
}

const Description& description(Tag<CurrentSource>) {
    using P = CurrentSource;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the element"},
                     {&P::from, "from", "", "node the current leaves", node_range},
                     {&P::to, "to", "", "node the current enters", node_range},
                     {&P::current, "current", "A", "source current", {-1000.0, 1000.0}}});
    return described;
}

const Description& description(Tag<RatioSource>) {
    using P = RatioSource;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the element"},
                     {&P::output, "output", "", "output node", node_range},
                     {&P::low, "low", "", "node at ratio 0", node_range},
                     {&P::high, "high", "", "node at ratio 1", node_range},
                     {&P::ratio, "ratio", "", "share of the supply", {0.0, 1.0}},
                     {&P::resistance, "resistance", "ohm", "output resistance", inner_resistances},
                     {&P::track_resistance, "track_resistance", "ohm", "track, end to end", resistances}});
    return described;
}

const Description& description(Tag<Clamp>) {
    using P = Clamp;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the element"},
                     {&P::anode, "anode", "", "anode node", node_range},
                     {&P::cathode, "cathode", "", "cathode node", node_range},
                     {&P::drop, "drop", "V", "forward drop", {0.0, 100.0}},
                     {&P::on_resistance, "on_resistance", "ohm", "conducting", inner_resistances},
                     {&P::off_resistance, "off_resistance", "ohm", "blocking", inner_resistances}});
    return described;
}

const Description& description(Tag<Regulator>) {
    using P = Regulator;
    static const Description described =
        describe<P>({{&P::name, "name", "", "name of the element"},
                     {&P::output, "output", "", "output node", node_range},
                     {&P::ground, "ground", "", "node it refers to", node_range},
                     {&P::voltage, "voltage", "V", "set voltage", {0.0, 100.0}},
                     {&P::resistance, "resistance", "ohm", "inner resistance", inner_resistances},
                     {&P::source_limit, "source_limit", "A", "largest current delivered", {0.0, 100.0}},
                     {&P::sink_limit, "sink_limit", "A", "largest current taken in", {0.0, 100.0}},
                     {&P::limit_resistance, "limit_resistance", "ohm", "slope in limitation", inner_resistances}});
    return described;
}

const Description& description(Tag<Joint>) {
    using P = Joint;
    static const Description described =
        describe<P>({{&P::terminal, "terminal", "", "contact of an assembly's connector"},
                     {&P::pin, "pin", "", "pin of the controller"}});
    return described;
}

const Description& description(Tag<WireParameters>) {
    using P = WireParameters;
    static const Description described =
        describe<P>({{&P::section_mm2, "section_mm2", "mm^2", "cross-section", {0.22, 6.0}},
                     {&P::length, "length", "m", "length", {0.0, 100.0}},
                     {&P::temperature, "temperature", "degC", "temperature of the copper", {-60.0, 250.0}},
                     {&P::contacts, "contacts", "", "contacts in series", {0.0, 20.0}},
                     {&P::contact_resistance, "contact_resistance", "ohm", "resistance of one contact", {0.0, 1e3}},
                     {&P::splices, "splices", "", "splices in series", {0.0, 20.0}},
                     {&P::splice_resistance, "splice_resistance", "ohm", "resistance of one splice", {0.0, 1e3}},
                     {&P::shielded, "shielded", "", "wire has a shield"},
                     {&P::coupling, "coupling", "F/m", "capacitance to a lead beside it", {0.0, 1e-9}}});
    return described;
}

const Description& description(Tag<ControllerSideParameters>) {
    using P = ControllerSideParameters;
    constexpr Range positive = {1e-3, 1e9};
    static const Description described = describe<P>(
        {{&P::references, "references", "", "reference pins that share a regulator"},
         {&P::regulator_resistance, "regulator_resistance", "ohm", "inner resistance of a regulator", positive},
         {&P::source_limit, "source_limit", "A", "largest current a regulator delivers", {0.0, 10.0}},
         {&P::sink_limit, "sink_limit", "A", "largest current a regulator takes in", {0.0, 10.0}},
         {&P::limit_resistance, "limit_resistance", "ohm", "slope of a regulator in limitation", positive},
         {&P::trace_resistance, "trace_resistance", "ohm", "from pin to regulator or ground", positive},
         {&P::pull, "pull", "", "where an open signal pin is pulled"},
         {&P::pull_resistance, "pull_resistance", "ohm", "pull resistor", positive},
         {&P::series_resistance, "series_resistance", "ohm", "from signal pin to converter", positive},
         {&P::clamp_drop, "clamp_drop", "V", "forward drop of an input clamp", {0.0, 5.0}},
         {&P::clamp_resistance, "clamp_resistance", "ohm", "on-resistance of an input clamp", positive},
         {&P::consumption_resistance, "consumption_resistance", "ohm", "load of the controller itself", positive},
         {&P::motor_pin_resistance, "motor_pin_resistance", "ohm", "from each motor pin to ground", {10.0, 1e5}},
         {&P::input_capacitance, "input_capacitance", "F", "from signal pin to ground", {1e-12, 1e-3}},
         {&P::edge_time, "edge_time", "s", "in which a leg of the bridge switches", {1e-9, 1e-3}}});
    return described;
}

}  // namespace twintrack::wiring
