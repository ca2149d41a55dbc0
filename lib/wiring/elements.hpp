// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>
#include <vector>

#include "twintrack/core/error.hpp"
#include "twintrack/wiring/netlist.hpp"

namespace twintrack::wiring {

/// Calls `visit(element)` for every element, kind by kind, in the order of the netlist. `Net` may be const.
template <class Net, class Visitor>
void for_each_element(Net& net, Visitor&& visit) {
    for (auto& e : net.resistors) visit(e);
    for (auto& e : net.voltage_sources) visit(e);
    for (auto& e : net.current_sources) visit(e);
    for (auto& e : net.ratio_sources) visit(e);
    for (auto& e : net.clamps) visit(e);
    for (auto& e : net.regulators) visit(e);
}

/// Entry of that name in one list of elements. InvalidParameter, with the names there are, if there is none.
template <class Elements>
auto& named(Elements& elements, const std::string& name);

/// "there is no 'x'; there is 'a', 'b'".
[[nodiscard]] InvalidParameter unknown_name(const std::string& where, const std::string& name,
                                            const std::vector<std::string>& known);

template <class Elements>
auto& named(Elements& elements, const std::string& name) {
    std::vector<std::string> known;
    for (auto& e : elements) {
        if (e.name == name) return e;
        known.push_back(e.name);
    }
    throw unknown_name("wiring.element", name, known);
}

}  // namespace twintrack::wiring
