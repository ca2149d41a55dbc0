// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>
#include <vector>

#include "twintrack/core/described.hpp"
#include "twintrack/sensing/assembly.hpp"

/// Which terminal of the two assemblies goes to which pin of the controller, as a value.
namespace twintrack::wiring {

/// One wire.
struct Joint {
    std::string terminal;  ///< such as "pedal signal 1", "throttle reference", "motor +"
    std::string pin;       ///< such as "pedal signal 1", "throttle reference 1", "motor +"

    bool operator==(const Joint&) const = default;
};

[[nodiscard]] const Description& description(Tag<Joint>);

using PinOut = std::vector<Joint>;

/// Terminals of a pair, the pedal's first: those of sensing::terminals() with the assembly's name before them (the
/// motor's leads stay "motor +" and "motor -").
[[nodiscard]] std::vector<sensing::Terminal> terminals(const sensing::PedalParameters& pedal,
                                                       const sensing::ThrottleBodyParameters& body);

/// Pins of a controller that serves this pair: for each assembly, references and returns 1 … n (one for a shared
/// supply, else one per track) and signals 1 … number of tracks; motor + and motor -.
[[nodiscard]] std::vector<std::string> controller_pins(const sensing::PedalParameters& pedal,
                                                       const sensing::ThrottleBodyParameters& body);

/// Every terminal to the pin of its own function, whatever the connectors.
[[nodiscard]] PinOut correct_pin_out(const sensing::PedalParameters& pedal,
                                     const sensing::ThrottleBodyParameters& body);

/// Throws InvalidParameter, with the names there are, when a terminal or pin does not exist or a terminal has two
/// wires.
void check_pin_out(const PinOut& pin_out, const sensing::PedalParameters& pedal,
                   const sensing::ThrottleBodyParameters& body);

/// What is odd about a pin-out that can still be simulated, in sentences: terminals left unconnected, pins with several
/// terminals, functions that do not match. Empty for a correct one.
[[nodiscard]] std::vector<std::string> remarks(const PinOut& pin_out, const sensing::PedalParameters& pedal,
                                               const sensing::ThrottleBodyParameters& body);

}  // namespace twintrack::wiring
