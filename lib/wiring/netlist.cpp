// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/netlist.hpp"

#include <algorithm>
#include <set>

#include "elements.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/core/fields.hpp"

namespace twintrack::wiring {

namespace {

/// The integer members of an element are its nodes.
void require_nodes(const Description& element, const void* e, std::size_t count, const std::string& path) {
    for (const Field& field : element.fields) {
        if (field.type->kind != Kind::integer) continue;
        const Node node = field.as<Node>(e);
        if (static_cast<std::size_t>(node) >= count)
            throw InvalidParameter(
                dotted(path, field.name),
                "node " + std::to_string(node) + " does not exist; the net has 0 … " + std::to_string(count - 1));
    }
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
        require_nodes(description(Tag<std::decay_t<decltype(e)>>{}), &e, net.nodes.size(), path);
    });
}

}  // namespace twintrack::wiring
