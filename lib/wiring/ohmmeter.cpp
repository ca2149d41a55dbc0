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

/// The inverse of the conductances, with the ground's row and column of zeros.
ExtendedMatrix impedances(const Netlist& net) {
    const auto size = static_cast<Eigen::Index>(net.nodes.size());
    ExtendedMatrix g = ExtendedMatrix::Zero(size, size);
    for (Eigen::Index k = 0; k < size; ++k) g(k, k) = Extended(1) / Extended(air);
    for (const Resistor& r : net.resistors) {
        const Extended conductance = Extended(1) / Extended(std::max(r.resistance, least_joint));
        g(r.a, r.a) += conductance;
        g(r.b, r.b) += conductance;
        g(r.a, r.b) -= conductance;
        g(r.b, r.a) -= conductance;
    }
    ExtendedMatrix z = ExtendedMatrix::Zero(size, size);
    if (size > 1) {
        const ExtendedMatrix inner = g.bottomRightCorner(size - 1, size - 1);
        z.bottomRightCorner(size - 1, size - 1) = inner.ldlt().solve(ExtendedMatrix::Identity(size - 1, size - 1));
    }
    return z;
}

}  // namespace

std::vector<double> ohms(const Netlist& net, const std::vector<std::pair<Node, Node>>& pairs) {
    validate_net(net);
    const ExtendedMatrix z = impedances(net);
    std::vector<double> found;
    for (const auto& [a, b] : pairs) {
        for (const Node node : {a, b})
            require(node, {0.0, static_cast<double>(net.nodes.size()) - 1.0}, "ohms.node", "", "node of the net");
        found.push_back(static_cast<double>(z(a, a) + z(b, b) - 2 * z(a, b)));
    }
    return found;
}

}  // namespace twintrack::wiring
