// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>
#include <vector>

#include "twintrack/wiring/netlist.hpp"

namespace twintrack::wiring {

enum class NetStatus {
    ok,
    floating,   ///< some nodes have no path to the ground
    singular,   ///< elements without resistance form a loop, or the equations have no unique solution
    unsettled,  ///< the piecewise-linear elements found no consistent state
};

/// The state of a net. Unless `status` is ok, voltages and currents are empty and `culprits` names the nodes
/// (floating) or elements (singular, unsettled) to blame.
struct Solution {
    NetStatus status = NetStatus::ok;
    std::vector<std::string> culprits;
    std::vector<double> voltages;  ///< [V], per node, against the ground

    /// j [A] of the element's law, per kind, in the order of the netlist.
    std::vector<double> resistors, voltage_sources, ratio_sources, clamps, regulators;

    [[nodiscard]] bool ok() const noexcept { return status == NetStatus::ok; }
    [[nodiscard]] std::string sentence() const;  ///< the status in words
};

/// Modified nodal analysis: Kirchhoff's current law at every node, one extra unknown j for each branch below 10 Ω
/// (so that milliohms and gigaohms keep their digits side by side). Clamps and regulators by an active set: all
/// inconsistent states are flipped at once while that helps, then one at a time by the least index, which is finite
/// for strictly monotone laws (Murty 1974, "Note on a Bard-type scheme for solving the complementarity problem",
/// Opsearch 11; from memory).
/// InvalidParameter when a value is out of range or a node does not exist.
[[nodiscard]] Solution solve(const Netlist& net);

}  // namespace twintrack::wiring
