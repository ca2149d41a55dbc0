// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/wiring/harness_parameters.hpp"
#include "twintrack/wiring/pin_out.hpp"

namespace twintrack::bench {

/// What joins the two assemblies and the controller.
enum class WiringKind {
    harness,  ///< the net of wiring::Harness
    ideal     ///< each terminal at its own pin, zero resistance; no wiring faults
};

constexpr std::array<std::pair<WiringKind, const char*>, 2> names(Tag<WiringKind>) {
    return {{{WiringKind::harness, "harness"}, {WiringKind::ideal, "ideal"}}};
}

struct WiringParameters {
    WiringKind kind = WiringKind::harness;
    wiring::HarnessParameters harness;
    wiring::PinOut pin_out;  ///< empty: the correct one; else a terminal that is left out is not connected
};

[[nodiscard]] const Description& description(Tag<WiringParameters>);

/// A pin-out is a matter of the harness.
void check(const WiringParameters& p, const std::string& path);

/// The pin-out in force.
[[nodiscard]] wiring::PinOut pin_out(const WiringParameters& p, const sensing::PedalParameters& pedal,
                                     const sensing::ThrottleBodyParameters& body);

}  // namespace twintrack::bench
