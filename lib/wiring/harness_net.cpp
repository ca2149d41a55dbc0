// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>
#include <map>

#include "twintrack/wiring/edit.hpp"
#include "twintrack/wiring/harness.hpp"

namespace twintrack::wiring {

namespace {

class Builder {
public:
    Builder(const plant::BridgeParameters& bridge, const HarnessParameters& p) : bridge_(bridge), p_(p) {
        net_.nodes = {"ground", "battery", "controller supply", "controller ground", "internal supply"};
    }

    void power() {
        const Node battery = net_.at("battery"), feed = net_.at("controller supply"),
                   ground = net_.at("controller ground");
        net_.voltage_sources.push_back({"battery", battery, 0, 12.6, bridge_.supply_resistance});
        const Node chassis = net_.node("ground point");
        net_.voltage_sources.push_back({"ground offset", chassis, 0, 0.0, 0.0});
        net_.voltage_sources.push_back({"internal supply", net_.at("internal supply"), ground, 5.0, 0.01});
        resistor("supply wire", battery, feed, resistance(p_.supply_wire));
        resistor("ground wire", chassis, ground, resistance(p_.ground_wire));
        resistor("controller load", feed, ground, p_.controller.consumption_resistance);
    }

    void track(const std::string& assembly, std::size_t k, sensing::Supply supply, const sensing::TrackParameters& t) {
        const std::string number = " " + std::to_string(k), name = assembly + " track" + number;
        const std::string feed = supply == sensing::Supply::shared ? "" : number;
        const Node high = net_.node(assembly + " reference" + feed), low = net_.node(assembly + " return" + feed);
        const Node out = net_.node(assembly + " signal" + number);
        const bool wiper = t.kind == sensing::TrackKind::potentiometer;
        resistor(name + " supply", high, low, wiper ? t.resistance : p_.hall_supply_resistance);
        net_.ratio_sources.push_back(
            {name, out, low, high, 0.5, wiper ? p_.wiper_resistance : t.resistance, wiper ? t.resistance : 0.0});
    }

    void pin(const std::string& name) {
        const Node pin = net_.node("pin " + name);
        const auto has = [&](const char* word) { return name.find(word) != std::string::npos; };
        if (has(" reference ")) reference_pin(name, pin);
        if (has(" return "))
            resistor("trace " + name, pin, net_.at("controller ground"), p_.controller.trace_resistance);
        if (has(" signal ")) signal_pin(name, pin);
        if (name.rfind("motor", 0) == 0) motor_pin(name, pin);
    }

    void wire(const Joint& j) {
        const bool motor = j.terminal.rfind("motor", 0) == 0;
        resistor("wire " + j.terminal, net_.at(j.terminal), net_.at("pin " + j.pin),
                 resistance(motor ? p_.motor_wire : p_.sensor_wire));
    }

    void motor() { net_.current_sources.push_back({"motor", net_.node("motor +"), net_.node("motor -"), 0.0}); }

    void insulate(const std::string& terminal) {
        resistor("insulation " + terminal, net_.node(terminal), 0, open_resistance);
    }

    [[nodiscard]] Netlist take() { return std::move(net_); }

private:
    void resistor(const std::string& name, Node a, Node b, double ohms) {
        net_.resistors.push_back({name, a, b, ohms});
    }

    void reference_pin(const std::string& name, Node pin) {
        const ControllerSideParameters& c = p_.controller;
        const std::string group = c.references == References::one ? "references"
                                  : c.references == References::per_assembly
                                      ? name.substr(0, name.find(' ')) + " references"
                                      : name;
        const std::string regulator = "regulator of " + group;
        const std::size_t known = net_.nodes.size();
        const Node output = net_.node(regulator);
        if (net_.nodes.size() > known)
            net_.regulators.push_back({regulator, output, net_.at("controller ground"), 5.0, c.regulator_resistance,
                                       c.source_limit, c.sink_limit, c.limit_resistance});
        resistor("trace " + name, pin, output, c.trace_resistance);
    }

    void signal_pin(const std::string& name, Node pin) {
        const ControllerSideParameters& c = p_.controller;
        const Node converter = net_.node("converter " + name), ground = net_.at("controller ground");
        const Node rail = net_.at("internal supply");
        resistor("pull " + name, pin, c.pull == Pull::up ? rail : ground, c.pull_resistance);
        resistor("series " + name, pin, converter, c.series_resistance);
        net_.clamps.push_back({"upper clamp " + name, converter, rail, c.clamp_drop, c.clamp_resistance, 1e9});
        net_.clamps.push_back({"lower clamp " + name, ground, converter, c.clamp_drop, c.clamp_resistance, 1e9});
    }

    void motor_pin(const std::string& name, Node pin) {
        const Node feed = net_.at("controller supply"), ground = net_.at("controller ground");
        const double on = std::max(bridge_.switch_resistance, inner_resistances.least);
        resistor("to ground " + name, pin, ground, p_.controller.motor_pin_resistance);
        net_.ratio_sources.push_back({"leg " + name, pin, ground, feed, 0.0, on, 0.0});
        net_.clamps.push_back({"upper diode " + name, pin, feed, bridge_.diode_drop, std::max(on, 1e-3), 1e9});
        net_.clamps.push_back({"lower diode " + name, ground, pin, bridge_.diode_drop, std::max(on, 1e-3), 1e9});
    }

    Netlist net_;
    const plant::BridgeParameters& bridge_;
    const HarnessParameters& p_;
};

}  // namespace

Netlist harness_net(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body,
                    const plant::BridgeParameters& bridge, const HarnessParameters& p, const PinOut& pin_out) {
    validate(pedal, "pedal");
    validate(body, "body");
    validate(bridge, "bridge");
    validate(p, "harness");
    check_pin_out(pin_out, pedal, body);
    Builder b(bridge, p);
    b.power();
    for (std::size_t k = 0; k < pedal.tracks.size(); ++k) b.track("pedal", k + 1, pedal.supply, pedal.tracks[k]);
    for (std::size_t k = 0; k < body.tracks.size(); ++k) b.track("throttle", k + 1, body.supply, body.tracks[k]);
    b.motor();
    for (const sensing::Terminal& t : terminals(pedal, body)) b.insulate(t.name);
    for (const std::string& name : controller_pins(pedal, body)) b.pin(name);
    for (const Joint& j : pin_out) b.wire(j);
    return b.take();
}

}  // namespace twintrack::wiring
