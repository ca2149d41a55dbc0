// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/ohmmeter.hpp"

#include <Eigen/Dense>
#include <algorithm>

#include "twintrack/core/error.hpp"

namespace twintrack::wiring {

namespace {

using Extended = long double;
using ExtendedMatrix = Eigen::Matrix<Extended, Eigen::Dynamic, Eigen::Dynamic>;

constexpr double least_joint = 1e-6;  ///< [Ω]
constexpr double air = 1e12;          ///< [Ω]

/// Columns of the conductances' inverse, one for each node that a question names; the ground has the place −1.
class Impedances {
public:
    Impedances(const Netlist& net, const std::vector<std::pair<Node, Node>>& pairs) : place_(net.nodes.size(), -1) {
        Eigen::Index size = 0;
        const auto use = [&](Node node) {
            if (node != 0 && place_[static_cast<std::size_t>(node)] < 0)
                place_[static_cast<std::size_t>(node)] = size++;
        };
        for (const auto& [a, b] : pairs) use(a), use(b);
        const Eigen::Index asked = size;  // they come first
        for (const Resistor& r : net.resistors) use(r.a), use(r.b);
        ExtendedMatrix g = ExtendedMatrix::Identity(size, size) * (Extended(1) / Extended(air));
        for (const Resistor& r : net.resistors) {
            const Extended conductance = Extended(1) / Extended(std::max(r.resistance, least_joint));
            const Eigen::Index a = place(r.a), b = place(r.b);
            if (a >= 0) g(a, a) += conductance;
            if (b >= 0) g(b, b) += conductance;
            if (a >= 0 && b >= 0) g(a, b) -= conductance, g(b, a) -= conductance;
        }
        z_ = g.llt().solve(ExtendedMatrix::Identity(size, asked));
    }

    [[nodiscard]] double between(Node a, Node b) const {
        return static_cast<double>(at(a, a) + at(b, b) - 2 * at(a, b));
    }

private:
    [[nodiscard]] Eigen::Index place(Node node) const { return place_[static_cast<std::size_t>(node)]; }
    [[nodiscard]] Extended at(Node a, Node b) const {
        return place(a) < 0 || place(b) < 0 ? Extended(0) : z_(place(a), place(b));
    }

    std::vector<Eigen::Index> place_;
    ExtendedMatrix z_;
};

}  // namespace

std::vector<double> ohms(const Netlist& net, const std::vector<std::pair<Node, Node>>& pairs) {
    validate_net(net);
    for (const auto& [a, b] : pairs)
        for (const Node node : {a, b})
            require(node, {0.0, static_cast<double>(net.nodes.size()) - 1.0}, "ohms.node", "", "node of the net");
    const Impedances z(net, pairs);
    std::vector<double> found;
    for (const auto& [a, b] : pairs) found.push_back(z.between(a, b));
    return found;
}

}  // namespace twintrack::wiring
