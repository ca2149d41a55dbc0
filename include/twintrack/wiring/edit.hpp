// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>

#include "twintrack/wiring/netlist.hpp"

/// Every wiring fault is an edit of a netlist: a function from a net to another net. An unknown name is an
/// InvalidParameter that lists the names there are.
namespace twintrack::wiring {

/// What an open contact still conducts: insulation. ISO 16750-2:2023, 4.9.1 (known second-hand) asks
/// its test switch for at least 10 MΩ; a dry contact has more.
inline constexpr double open_resistance = 1e9;  ///< [Ω]

inline constexpr double least_variable = 1e-3;  ///< [Ω] of a resistor that changes from tick to tick

/// The resistor (a wire, a contact) no longer conducts.
[[nodiscard]] Netlist open(Netlist net, const std::string& resistor);

/// `ohms` more in that resistor: corrosion, a bad crimp.
[[nodiscard]] Netlist add_series(Netlist net, const std::string& resistor, double ohms);

/// A resistor of `ohms` between two nodes: a short, a chafed pair, a bridge of carbon, water in a connector.
[[nodiscard]] Netlist connect(Netlist net, const std::string& node, const std::string& other, double ohms);

/// `ohms` from a node to the ground.
[[nodiscard]] Netlist leak(Netlist net, const std::string& node, double ohms);

/// Two wires exchange their first ends: two contacts in each other's cavities, motor leads reversed.
[[nodiscard]] Netlist exchange(Netlist net, const std::string& resistor, const std::string& other);

/// The resistor becomes a port: an element of the same law and name among the ratio sources, whose resistance (at least
/// 1 mΩ) a reduced net or a harness can change at each tick. For intermittent or growing faults: a loose contact, a
/// chafing wire.
[[nodiscard]] Netlist make_variable(Netlist net, const std::string& resistor);

/// A regulator that holds `volts` more (or less) than it should: a source between it and what it feeds.
[[nodiscard]] Netlist offset_regulator(Netlist net, const std::string& regulator, double volts);

/// A voltage source's voltage: a ground offset, a flat battery.
[[nodiscard]] Netlist set_voltage(Netlist net, const std::string& source, double volts);

}  // namespace twintrack::wiring
