// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/netlist.hpp"

#include <algorithm>
#include <set>

#include "elements.hpp"

namespace twintrack::wiring {

namespace {

/// The integer members of an element are its nodes.
template <class Element>
void require_nodes(const Element& e, std::size_t count, const std::string& path) {
    for_each_field<Element>([&](const auto& field) {
        if constexpr (std::is_same_v<std::decay_t<decltype(e.*(field.member))>, Node>) {
            if (static_cast<std::size_t>(e.*(field.member)) >= count)
                throw InvalidParameter(detail::join(path, field.name), "node " + std::to_string(e.*(field.member)) +
                                                                           " does not exist; the net has 0 … " +
                                                                           std::to_string(count - 1));
        }
    });
}

}  // namespace

Node Netlist::node(const std::string& name) {
    const auto found = std::find(nodes.begin(), nodes.end(), name);
    if (found != nodes.end()) return static_cast<Node>(found - nodes.begin());
    nodes.push_back(name);
    return static_cast<Node>(nodes.size() - 1);
}

Node Netlist::at(const std::string& name) const {
    const auto found = std::find(nodes.begin(), nodes.end(), name);
    if (found == nodes.end()) throw unknown_name("wiring.node", name, nodes);
    return static_cast<Node>(found - nodes.begin());
}

InvalidParameter unknown_name(const std::string& where, const std::string& name,
                              const std::vector<std::string>& known) {
    std::string message = "there is no '" + name + "'; there is ";
    for (std::size_t i = 0; i < known.size(); ++i) message += (i ? ", '" : "'") + known[i] + "'";
    return {where, known.empty() ? "there is no '" + name + "'" : message};
}

void validate_net(const Netlist& net) {
    if (net.nodes.empty()) throw InvalidParameter("wiring.nodes", "a net has at least the ground");
    std::set<std::string> seen;
    for_each_element(net, [&](const auto& e) {
        const std::string path = "wiring['" + e.name + "']";
        if (!seen.insert(e.name).second) throw InvalidParameter(path, "two elements have this name");
        validate(e, path);
        require_nodes(e, net.nodes.size(), path);
    });
}

}  // namespace twintrack::wiring
