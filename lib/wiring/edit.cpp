// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/edit.hpp"

#include <algorithm>
#include <utility>

#include "elements.hpp"

namespace twintrack::wiring {

Netlist open(Netlist net, const std::string& resistor) {
    named(net.resistors, resistor).resistance = open_resistance;
    return net;
}

Netlist add_series(Netlist net, const std::string& resistor, double ohms) {
    require(ohms, resistances, "wiring['" + resistor + "'].more", "ohm", "resistance added in series");
    named(net.resistors, resistor).resistance += ohms;
    return net;
}

Netlist connect(Netlist net, const std::string& node, const std::string& other, double ohms) {
    const std::string stem = node + " to " + other;
    require(ohms, resistances, "wiring['" + stem + "']", "ohm", "resistance of the connection");
    std::string name = stem;
    const auto taken = [&] {
        bool found = false;
        for_each_element(net, [&](const auto& e) { found = found || e.name == name; });
        return found;
    };
    for (int copy = 2; taken(); ++copy) name = stem + " (" + std::to_string(copy) + ")";
    const Node a = net.at(node), b = net.at(other);
    net.resistors.push_back({name, a, b, ohms});
    return net;
}

Netlist leak(Netlist net, const std::string& node, double ohms) {
    const std::string ground = net.nodes.front();
    return connect(std::move(net), node, ground, ohms);
}

Netlist exchange(Netlist net, const std::string& resistor, const std::string& other) {
    std::swap(named(net.resistors, resistor).a, named(net.resistors, other).a);
    return net;
}

Netlist make_variable(Netlist net, const std::string& resistor) {
    const Resistor r = named(net.resistors, resistor);
    std::erase_if(net.resistors, [&](const Resistor& e) { return e.name == resistor; });
    net.ratio_sources.push_back({r.name, r.a, r.b, r.b, 0.0, std::max(r.resistance, least_variable), 0.0});
    return net;
}

Netlist offset_regulator(Netlist net, const std::string& regulator, double volts) {
    require(volts, {-100.0, 100.0}, "wiring['" + regulator + "'].offset", "V", "offset of a regulator");
    const std::string name = "offset of " + regulator;
    const Node inside = net.node(name);
    Regulator& r = named(net.regulators, regulator);
    net.voltage_sources.push_back({name, r.output, inside, volts, 0.0});
    r.output = inside;
    return net;
}

Netlist set_voltage(Netlist net, const std::string& source, double volts) {
    require(volts, {-1000.0, 1000.0}, "wiring['" + source + "'].voltage", "V", "source voltage");
    named(net.voltage_sources, source).voltage = volts;
    return net;
}

}  // namespace twintrack::wiring
