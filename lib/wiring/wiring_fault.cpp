// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/wiring_fault.hpp"

#include <algorithm>
#include <locale>
#include <sstream>

#include "elements.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/wiring/edit.hpp"

namespace twintrack::wiring {

namespace {

constexpr double corroded = 1e3;  ///< [Ω]
constexpr double weak = 1.0;      ///< [Ω] in a power wire
constexpr double wet = 1e4;       ///< [Ω]
constexpr double hard = 0.05;     ///< [Ω]

std::string wire_of(const std::string& where) {
    if (where == "controller ground") return "ground wire";
    if (where == "controller supply") return "supply wire";
    return "wire " + where;
}

/// The regulator behind "pedal regulator": the assembly's own, that of its first reference pin, or the common one.
std::string regulator_of(const Netlist& net, const std::string& where) {
    const std::string own = "regulator of " + where.substr(0, where.find(' '));
    for (const Regulator& r : net.regulators)
        if (r.name == "regulator of references" || r.name.starts_with(own)) return r.name;
    throw InvalidParameter("wiring", "there is no '" + where + "'; there are: pedal regulator, throttle regulator");
}

bool offset(WiringFaultKind k) {
    using K = WiringFaultKind;
    return k == K::ground_offset || k == K::regulator_offset || k == K::regulator_voltage;
}

/// Another voltage than the regulator's own on what it feeds.
Netlist set_regulator(const Netlist& net, const WiringFault& f) {
    const std::string name = regulator_of(net, f.where);
    return offset_regulator(net, name, f.amount - named(net.regulators, name).voltage);
}

double at_least(const Resistor& r) { return std::max(r.resistance, least_variable); }

std::string quantity(double value, const char* unit) {
    std::ostringstream text;
    text.imbue(std::locale::classic());
    text << value << ' ' << unit;
    return text.str();
}

void add_of_terminal(std::vector<WiringFault>& all, const std::string& t) {
    using K = WiringFaultKind;
    all.push_back({K::open, t, "", 0.0});
    all.push_back({K::series, t, "", corroded});
    all.push_back({K::leak, t, "", wet});
    all.push_back({K::short_to_ground, t, "", hard});
    all.push_back({K::short_to_battery, t, "", hard});
}

}  // namespace

Netlist apply(const Netlist& harness, const WiringFault& f) {
    switch (f.kind) {
        case WiringFaultKind::open:
            return open(harness, wire_of(f.where));
        case WiringFaultKind::series:
            return add_series(harness, wire_of(f.where), f.amount);
        case WiringFaultKind::leak:
        case WiringFaultKind::short_to_ground:
            return leak(harness, f.where, f.amount);
        case WiringFaultKind::short_to_battery:
            return connect(harness, f.where, "battery", f.amount);
        case WiringFaultKind::short_to:
            return connect(harness, f.where, f.with, f.amount);
        case WiringFaultKind::exchange:
            return exchange(harness, wire_of(f.where), wire_of(f.with));
        case WiringFaultKind::regulator_offset:
            return offset_regulator(harness, regulator_of(harness, f.where), f.amount);
        case WiringFaultKind::regulator_voltage:
            return set_regulator(harness, f);
        case WiringFaultKind::ground_offset:
            break;
    }
    return set_voltage(harness, "ground offset", f.amount);
}

double PortFault::resistance(double share) const noexcept {
    if (joins) return 1.0 / (1.0 / healthy + share * (1.0 / faulty - 1.0 / healthy));
    return healthy + share * (faulty - healthy);
}

PortFault apply_as_port(const Netlist& harness, const WiringFault& f) {
    if (f.kind == WiringFaultKind::exchange || offset(f.kind))
        throw InvalidParameter("wiring", sentence(f) + ": no resistor makes that fault");
    Netlist net = apply(harness, f);
    PortFault port;
    port.joins = f.kind != WiringFaultKind::open && f.kind != WiringFaultKind::series;
    port.resistor = port.joins ? net.resistors.back().name : wire_of(f.where);
    port.healthy = port.joins ? open_resistance : at_least(named(harness.resistors, port.resistor));
    port.faulty = at_least(named(net.resistors, port.resistor));
    port.net = make_variable(std::move(net), port.resistor);
    return port;
}

std::string sentence(const WiringFault& f) {
    const std::string where = "'" + f.where + "'", with = "'" + f.with + "'";
    switch (f.kind) {
        case WiringFaultKind::open:
            return where + " open";
        case WiringFaultKind::series:
            return where + " with " + quantity(f.amount, "ohm") + " in series";
        case WiringFaultKind::leak:
            return where + " leaking to ground through " + quantity(f.amount, "ohm");
        case WiringFaultKind::short_to_ground:
            return where + " shorted to ground";
        case WiringFaultKind::short_to_battery:
            return where + " shorted to battery";
        case WiringFaultKind::short_to:
            return where + " shorted to " + with;
        case WiringFaultKind::exchange:
            return where + " and " + with + " exchanged";
        case WiringFaultKind::regulator_offset:
            return where + " off by " + quantity(f.amount, "V");
        case WiringFaultKind::regulator_voltage:
            return where + " at " + quantity(f.amount, "V");
        case WiringFaultKind::ground_offset:
            break;
    }
    return where + " lifted by " + quantity(f.amount, "V");
}

std::vector<WiringFault> every_single_fault(const sensing::PedalParameters& pedal,
                                            const sensing::ThrottleBodyParameters& body) {
    using K = WiringFaultKind;
    const std::vector<sensing::Terminal> all_terminals = terminals(pedal, body);
    std::vector<WiringFault> all;
    for (const sensing::Terminal& t : all_terminals) add_of_terminal(all, t.name);
    for (std::size_t a = 0; a < all_terminals.size(); ++a) {
        for (std::size_t b = a + 1; b < all_terminals.size(); ++b) {
            if (all_terminals[a].connector != all_terminals[b].connector) continue;
            all.push_back({K::short_to, all_terminals[a].name, all_terminals[b].name, hard});
            all.push_back({K::exchange, all_terminals[a].name, all_terminals[b].name, 0.0});
        }
    }
    for (const char* wire : {"controller supply", "controller ground"}) {
        all.push_back({K::open, wire, "", 0.0});
        all.push_back({K::series, wire, "", weak});
    }
    for (const double volts : {-1.0, 1.0}) all.push_back({K::ground_offset, "controller ground", "", volts});
    for (const char* regulator : {"pedal regulator", "throttle regulator"})
        for (const double volts : {-1.0, 1.0}) all.push_back({K::regulator_offset, regulator, "", volts});
    return all;
}

}  // namespace twintrack::wiring
