// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/pin_out.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "elements.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::wiring {

namespace {

bool of_motor(const std::string& name) { return name.rfind("motor", 0) == 0; }

std::vector<sensing::Terminal> prefixed(std::vector<sensing::Terminal> all, const std::string& assembly) {
    for (sensing::Terminal& t : all) {
        if (!of_motor(t.name)) t.name = assembly + " " + t.name;
        t.connector = assembly + " " + t.connector;
    }
    return all;
}

void add_pins(std::vector<std::string>& all, const std::string& assembly, sensing::Supply supply, std::size_t tracks) {
    const std::size_t feeds = supply == sensing::Supply::shared ? 1 : tracks;
    for (std::size_t k = 1; k <= feeds; ++k) {
        all.push_back(assembly + " reference " + std::to_string(k));
        all.push_back(assembly + " return " + std::to_string(k));
    }
    for (std::size_t k = 1; k <= tracks; ++k) all.push_back(assembly + " signal " + std::to_string(k));
}

bool ends_with_digit(const std::string& s) { return !s.empty() && s.back() >= '0' && s.back() <= '9'; }

/// The pin that carries a terminal's function: a shared supply is the first of its kind.
std::string own_pin(const std::string& terminal) {
    return of_motor(terminal) || ends_with_digit(terminal) ? terminal : terminal + " 1";
}

}  // namespace

std::vector<sensing::Terminal> terminals(const sensing::PedalParameters& pedal,
                                         const sensing::ThrottleBodyParameters& body) {
    std::vector<sensing::Terminal> all = prefixed(sensing::terminals(pedal), "pedal");
    for (sensing::Terminal& t : prefixed(sensing::terminals(body), "throttle")) all.push_back(std::move(t));
    return all;
}

std::vector<std::string> controller_pins(const sensing::PedalParameters& pedal,
                                         const sensing::ThrottleBodyParameters& body) {
    std::vector<std::string> all;
    add_pins(all, "pedal", pedal.supply, pedal.tracks.size());
    add_pins(all, "throttle", body.supply, body.tracks.size());
    all.emplace_back("motor +");
    all.emplace_back("motor -");
    return all;
}

PinOut correct_pin_out(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body) {
    PinOut all;
    for (const sensing::Terminal& t : terminals(pedal, body)) all.push_back({t.name, own_pin(t.name)});
    return all;
}

void check_pin_out(const PinOut& pin_out, const sensing::PedalParameters& pedal,
                   const sensing::ThrottleBodyParameters& body) {
    std::vector<std::string> known;
    for (const sensing::Terminal& t : terminals(pedal, body)) known.push_back(t.name);
    const std::vector<std::string> pins = controller_pins(pedal, body);
    std::set<std::string> wired;
    for (const Joint& j : pin_out) {
        if (std::find(known.begin(), known.end(), j.terminal) == known.end())
            throw unknown_name("pin_out.terminal", j.terminal, known);
        if (std::find(pins.begin(), pins.end(), j.pin) == pins.end()) throw unknown_name("pin_out.pin", j.pin, pins);
        if (!wired.insert(j.terminal).second)
            throw InvalidParameter("pin_out.terminal", "'" + j.terminal + "' has two wires");
    }
}

std::vector<std::string> remarks(const PinOut& pin_out, const sensing::PedalParameters& pedal,
                                 const sensing::ThrottleBodyParameters& body) {
    check_pin_out(pin_out, pedal, body);
    std::vector<std::string> all;
    for (const sensing::Terminal& t : terminals(pedal, body)) {
        const auto joint =
            std::find_if(pin_out.begin(), pin_out.end(), [&](const Joint& j) { return j.terminal == t.name; });
        if (joint == pin_out.end())
            all.push_back("'" + t.name + "' is not connected");
        else if (joint->pin != own_pin(t.name))
            all.push_back("'" + t.name + "' goes to the pin '" + joint->pin + "', its own is '" + own_pin(t.name) +
                          "'");
    }
    std::map<std::string, std::vector<std::string>> on_pin;
    for (const Joint& j : pin_out) on_pin[j.pin].push_back(j.terminal);
    for (const auto& [pin, names] : on_pin) {
        if (names.size() < 2) continue;
        std::string list;
        for (const std::string& name : names) list += (list.empty() ? "'" : ", '") + name + "'";
        all.push_back("the pin '" + pin + "' joins " + list);
    }
    return all;
}

}  // namespace twintrack::wiring
