// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/fault/fault.hpp"
#include "twintrack/wiring/netlist.hpp"

/// What a meter shows on a bench at rest, from the same net as a run.
///
/// Nothing here is driven: **the motor's leads are off at the controller** ("lead motor +" and "lead motor -" are their
/// free ends), so that a blade may be moved by hand, and both legs of the bridge are open. Faults count as they are
/// once they have grown; an intermittent one, as if it stayed. A frozen track was frozen with the foot off and the
/// blade at rest. Noise is left out: a meter averages it.
namespace twintrack::bench {

/// Where a hand has the blade.
enum class BladePose {
    released,  ///< opened and let go: where the springs leave it against its friction
    closed,    ///< held at the closed stop
    open       ///< held at the open stop
};

constexpr std::array<std::pair<BladePose, const char*>, 3> names(Tag<BladePose>) {
    return {{{BladePose::released, "released"}, {BladePose::closed, "closed"}, {BladePose::open, "open"}}};
}

struct Stand {
    double foot = 0.0;  ///< share of the pedal's travel
    BladePose blade = BladePose::released;
};

/// What the tip of a meter can touch: every terminal, every pin as "pin NAME", "lead motor +", "lead motor -",
/// "battery", "controller supply", "controller ground".
[[nodiscard]] std::vector<std::string> meter_points(const BenchParameters& p);

/// The net with the key on. The regulators follow a supply that is too low, and are off below the reset voltage.
/// InvalidParameter for ideal wiring, and for faults that the bench would refuse.
[[nodiscard]] wiring::Netlist standing_net(const BenchParameters& p, const std::vector<fault::Fault>& faults,
                                           const Stand& stand);

/// [V] of each meter_points() against the ground (engine block), stand by stand; NaN where the net has no solution.
[[nodiscard]] std::vector<double> standing_volts(const BenchParameters& p, const std::vector<fault::Fault>& faults,
                                                 const std::vector<Stand>& stands);

/// The wires alone: key off, battery's minus off, every connector apart; with `motor` the winding is still plugged in.
[[nodiscard]] wiring::Netlist unplugged_net(const BenchParameters& p, const std::vector<fault::Fault>& faults,
                                            bool motor);

/// [Ω] between pairs of meter_points() or "ground" of unplugged_net().
[[nodiscard]] std::vector<double> unplugged_ohms(const BenchParameters& p, const std::vector<fault::Fault>& faults,
                                                 const std::vector<std::pair<std::string, std::string>>& pairs,
                                                 bool motor);

}  // namespace twintrack::bench
