// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <utility>
#include <vector>

#include "twintrack/wiring/netlist.hpp"

namespace twintrack::wiring {

/// What an ohmmeter shows between two nodes of a network of resistors.
///
/// With G the matrix of conductances against the ground and Z = G⁻¹:  R_ab = Z_aa + Z_bb − 2 Z_ab.
/// In extended precision, since milliohms hang on gigaohms of insulation; joints of no resistance count 1 µΩ.
/// Nodes that hang on nothing but each other are given 1 TΩ to ground.
/// InvalidParameter when a node does not exist; other elements than resistors are left out.
[[nodiscard]] std::vector<double> ohms(const Netlist& net, const std::vector<std::pair<Node, Node>>& pairs);

}  // namespace twintrack::wiring
