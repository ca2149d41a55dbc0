// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>
#include <vector>

#include "twintrack/core/described.hpp"

/// Wiring as a circuit: nodes joined by elements, as plain values.
///
/// Every element is one branch with the law  wᵀv − U = R j,  Σ w = 0:  v [V] node voltages, j [A] the current that
/// enters the element, w_k j drawn from node k. A resistor has w = (1, −1); the ratiometric source, three terminals.
/// Each law is strictly monotone and reciprocal, so a net whose nodes all hang on the ground has exactly one solution.
namespace twintrack::wiring {

using Node = int;  ///< index into Netlist::nodes; 0 is the ground (chassis and engine block)

/// v_a − v_b = R j.
struct Resistor {
    std::string name;
    Node a = 0, b = 0;
    double resistance = 1.0;  ///< R [Ω], 0 for an ideal joint
};

/// v_plus − v_minus = U + R j: an ideal source with its inner resistance; it delivers −j.
struct VoltageSource {
    std::string name;
    Node plus = 0, minus = 0;
    double voltage = 0.0;     ///< U [V]
    double resistance = 0.0;  ///< R [Ω]
};

/// Takes its current out of node `from` and puts it into node `to`.
struct CurrentSource {
    std::string name;
    Node from = 0, to = 0;
    double current = 0.0;  ///< [A]
};

/// Output of a ratiometric sensor, a wiper, or one leg of an averaged bridge:
///
///     v_out − (1 − r) v_low − r v_high = (R + r (1 − r) R_track) j
///
/// Of the output current −j the share r comes from `high`, 1 − r from `low`. That is exact for a wiper (with R_track
/// end to end, drawn beside it as a resistor) and for a leg averaged over its PWM period; for a Hall stage it is a
/// lossless idealisation of where the few microamperes of the signal come from.
struct RatioSource {
    std::string name;
    Node output = 0, low = 0, high = 0;
    double ratio = 0.5;             ///< r
    double resistance = 1000.0;     ///< R [Ω]
    double track_resistance = 0.0;  ///< R_track [Ω], 0 unless a wiper
};

/// Diode to a rail, piecewise linear and continuous in v = v_anode − v_cathode:
/// j = v/R_off up to the drop, and from there with the slope 1/R_on.
struct Clamp {
    std::string name;
    Node anode = 0, cathode = 0;
    double drop = 0.6;            ///< [V]
    double on_resistance = 10.0;  ///< R_on [Ω]
    double off_resistance = 1e9;  ///< R_off [Ω]
};

/// Reference regulator: v_out − v_ground = U − R i while its current i lies between −I_sink and I_source; beyond, i
/// changes only by the large R_limit. Its own feed is not modelled: i returns to the regulator's ground.
struct Regulator {
    std::string name;
    Node output = 0, ground = 0;
    double voltage = 5.0;           ///< U [V]
    double resistance = 0.05;       ///< R [Ω]
    double source_limit = 0.05;     ///< I_source [A]
    double sink_limit = 0.005;      ///< I_sink [A]
    double limit_resistance = 1e5;  ///< R_limit [Ω]
};

struct Netlist {
    std::vector<std::string> nodes = {"ground"};
    std::vector<Resistor> resistors;
    std::vector<VoltageSource> voltage_sources;
    std::vector<CurrentSource> current_sources;
    std::vector<RatioSource> ratio_sources;
    std::vector<Clamp> clamps;
    std::vector<Regulator> regulators;

    /// The node of that name, added if new.
    Node node(const std::string& name);

    /// The node of that name. InvalidParameter, with the names there are, if there is none.
    [[nodiscard]] Node at(const std::string& name) const;
};

inline constexpr Range resistances = {0.0, 1e12};         ///< [Ω] of anything
inline constexpr Range inner_resistances = {1e-6, 1e12};  ///< [Ω] where the law needs one
inline constexpr Range node_range = {0.0, 1e6};

[[nodiscard]] const Description& description(Tag<Resistor>);

[[nodiscard]] const Description& description(Tag<VoltageSource>);

[[nodiscard]] const Description& description(Tag<CurrentSource>);

[[nodiscard]] const Description& description(Tag<RatioSource>);

[[nodiscard]] const Description& description(Tag<Clamp>);

[[nodiscard]] const Description& description(Tag<Regulator>);

/// Throws InvalidParameter unless every value is in range, every node exists and every element's name is unique.
void validate_net(const Netlist& net);

}  // namespace twintrack::wiring
