// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstddef>
#include <vector>

#include "twintrack/wiring/netlist.hpp"
#include "twintrack/wiring/port_law.hpp"

/// The net in one form: branches  wᵀv − U = R j  with up to three taps, and the currents injected into nodes.
namespace twintrack::wiring {

struct Tap {
    Node node = 0;
    double weight = 0.0;
};

struct Branch {
    std::array<Tap, 3> taps{};  ///< unused taps weigh nothing at the ground
    double voltage = 0.0;       ///< U [V]
    double resistance = 0.0;    ///< R [Ω]
};

/// wᵀv.
template <class Voltages>
[[nodiscard]] double across(const Branch& b, const Voltages& v) {
    double sum = 0.0;
    for (const Tap& t : b.taps) sum += t.weight * v[static_cast<std::size_t>(t.node)];
    return sum;
}

/// Segment of each piecewise-linear element, clamps first, then regulators. Clamp: 0 blocks, 1 conducts.
/// Regulator: −1 sinks its limit, 0 regulates, 1 delivers its limit.
using Segments = std::vector<signed char>;

[[nodiscard]] Branch branch(const Resistor& e);
[[nodiscard]] Branch branch(const VoltageSource& e);
[[nodiscard]] Branch branch(const RatioSource& e);
[[nodiscard]] Branch branch(const Clamp& e, int segment);
[[nodiscard]] Branch branch(const Regulator& e, int segment);

/// What may lie across an element in a segment [V]; of a regulator beyond what it should hold, v − U.
struct Bounds {
    double low, high;
};
[[nodiscard]] Bounds bounds(const Clamp& e, int segment);
[[nodiscard]] Bounds bounds(const Regulator& e, int segment);

/// Segment that the element belongs to at `v` [V] across it, one step from where it is at most. Values within `blur`
/// [V] of the border keep their segment: the law is continuous there.
[[nodiscard]] int next_segment(const Clamp& e, int segment, double v, double blur);
[[nodiscard]] int next_segment(const Regulator& e, int segment, double v, double blur);

/// All branches in the order resistors, voltage sources, clamps, regulators, ratio sources.
[[nodiscard]] std::vector<Branch> branches(const Netlist& net, const Segments& segments);

/// All nodes' injections [A] of the current sources.
[[nodiscard]] std::vector<double> injections(const Netlist& net);

}  // namespace twintrack::wiring
