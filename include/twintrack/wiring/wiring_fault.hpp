// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/wiring/netlist.hpp"
#include "twintrack/wiring/pin_out.hpp"

namespace twintrack::wiring {

enum class WiringFaultKind {
    open,
    series,
    leak,
    short_to_ground,
    short_to_battery,
    short_to,
    exchange,
    ground_offset,
    regulator_offset,
    regulator_voltage
};

constexpr std::array<std::pair<WiringFaultKind, const char*>, 10> names(Tag<WiringFaultKind>) {
    return {{{WiringFaultKind::open, "open"},
             {WiringFaultKind::series, "series"},
             {WiringFaultKind::leak, "leak"},
             {WiringFaultKind::short_to_ground, "short_to_ground"},
             {WiringFaultKind::short_to_battery, "short_to_battery"},
             {WiringFaultKind::short_to, "short_to"},
             {WiringFaultKind::exchange, "exchange"},
             {WiringFaultKind::ground_offset, "ground_offset"},
             {WiringFaultKind::regulator_offset, "regulator_offset"},
             {WiringFaultKind::regulator_voltage, "regulator_voltage"}}};
}

/// One thing wrong with the wiring of a harness.
struct WiringFault {
    WiringFaultKind kind = WiringFaultKind::open;
    std::string where;    ///< terminal; "controller ground" or "controller supply" for the controller's own wires;
                          ///< "pedal regulator" or "throttle regulator" for what feeds their (first) reference pin
    std::string with;     ///< the other terminal of short_to and exchange
    double amount = 0.0;  ///< [Ω] of series, leak and shorts; [V] of an offset and of a regulator's voltage

    bool operator==(const WiringFault&) const = default;
};

/// The net with that fault. InvalidParameter for a name that is not there or an amount out of range.
[[nodiscard]] Netlist apply(const Netlist& harness, const WiringFault& fault);

/// A growing or intermittent fault: the net with the resistor that makes it as a port.
struct PortFault {
    Netlist net;
    std::string resistor;
    double healthy = 0.0;  ///< [Ω] of that resistor without the fault
    double faulty = 0.0;   ///< [Ω] with it
    bool joins = false;    ///< a connection, whose conductance grows; else a wire, whose resistance does

    /// [Ω] with a share of the fault, 0 … 1.
    [[nodiscard]] double resistance(double share) const noexcept;
};

/// As apply(). InvalidParameter for an exchange or an offset, which no resistor makes, and for a wire that is a
/// port already.
[[nodiscard]] PortFault apply_as_port(const Netlist& harness, const WiringFault& fault);

/// In words: "'throttle signal 1' and 'throttle signal 2' exchanged".
[[nodiscard]] std::string sentence(const WiringFault& fault);

/// Every single wiring fault of a pair, generated from its terminals: each open, with 1 kΩ in series, leaking through
/// 10 kΩ, shorted (0.05 Ω) to ground, to battery and to each other terminal of its connector, each two of a connector
/// exchanged; the controller's supply and ground wires open or with 1 Ω; its ground 1 V up and down (ISO 16750-2:2023,
/// 4.8, known second-hand); each assembly's regulator 1 V low and 1 V high, outside the 4.5 … 5.5 V
/// that common practice allows it.
[[nodiscard]] std::vector<WiringFault> every_single_fault(const sensing::PedalParameters& pedal,
                                                          const sensing::ThrottleBodyParameters& body);

}  // namespace twintrack::wiring
