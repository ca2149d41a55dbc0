// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/wiring/netlist.hpp"

namespace twintrack::wiring {

/// The net as a SPICE deck, ending in `.end`, without analysis lines: node k is called `nk` (the ground `0`), each
/// element carries its name in a comment. The same laws, for any general circuit simulator; piecewise-linear elements
/// become behavioural sources, so a simulator with B elements is needed for nets that have them.
[[nodiscard]] std::string to_spice(const Netlist& net, const std::string& title);

}  // namespace twintrack::wiring
