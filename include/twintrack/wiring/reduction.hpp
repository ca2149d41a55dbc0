// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "twintrack/wiring/port_law.hpp"
#include "twintrack/wiring/solver.hpp"

namespace twintrack::wiring {

/// A voltage to be read: v_plus − v_minus.
struct Probe {
    Node plus = 0, minus = 0;
};

/// What changes from tick to tick, and what is read.
struct Ports {
    /// Each input is one number that sets all the sources named: voltage sources and regulators [V], current sources
    /// [A].
    std::vector<std::vector<std::string>> inputs;
    std::vector<Probe> probes;
};

/// A net reduced to its ports once, so that a tick costs a small dense system.
///
/// The ratio sources are torn out of the net; what remains is linear in the inputs u (and factored once):
///
///     v = V u − Z Σ_k c_k(r_k) j_k,     c_k(r) = a_k − r h_k,  a = e_out − e_low,  h = e_high − e_low
///     (R_k δ_kl + c_kᵀ Z c_l) j_l = c_kᵀ V u                (symmetric, positive definite)
///
/// Z and V are kept only at the ports: aᵀZa, aᵀZh, hᵀZh. Clamps and regulators stand in the segment they are in; when
/// a tick finds one outside, the reduction for the new segments is made (and kept for the next time).
///
/// Without its ratio sources the net must still be tied to the ground, by no more than about 10⁶ times the sources'
/// resistances if 1e-9 of the voltages is to be right; `status` says floating otherwise.
class ReducedNet {
public:
    /// InvalidParameter for a bad net, an unknown source, a source in two inputs, or a probe at a node that is not
    /// there.
    ReducedNet(Netlist net, Ports ports);
    ~ReducedNet();
    ReducedNet(const ReducedNet& other);
    ReducedNet(ReducedNet&&) noexcept;
    ReducedNet& operator=(ReducedNet&&) noexcept;

    /// Solves for one value per input and one ratio per ratio source (held to 0 … 1), in their order.
    /// Only the first `probes` probes are wanted; the others keep what they read before. InvalidParameter for another
    /// count or a value that is no finite number.
    NetStatus evaluate(std::span<const double> inputs, std::span<const double> ratios, std::size_t probes = all);
    static constexpr std::size_t all = static_cast<std::size_t>(-1);

    /// Changes the output resistance [Ω] of ratio source k from the next evaluation on: a bridge leg that opens.
    void set_resistance(std::size_t k, double ohms);

    [[nodiscard]] NetStatus status() const noexcept;
    [[nodiscard]] const std::vector<std::string>& culprits() const noexcept;

    /// Voltages of the probes [V] after evaluate().
    [[nodiscard]] std::span<const double> probes() const noexcept;

    /// j [A] that enters ratio source k, after evaluate().
    [[nodiscard]] double current(std::size_t k) const;

    /// d probe / d input in the net's present segments: for a current input at the probe's nodes, minus or plus its
    /// Thevenin resistance.
    [[nodiscard]] double slope(std::size_t probe, std::size_t input) const;

    /// The net as the law of port_law.hpp takes it, in its present segments.
    [[nodiscard]] const PortCounts& counts() const noexcept;
    [[nodiscard]] std::span<const double> coefficients() const noexcept;
    /// R + r (1 − r) R_track [Ω] of ratio source k.
    struct Resistance {
        double fixed, track;
    };
    [[nodiscard]] Resistance resistance(std::size_t k) const;

private:
    class Implementation;
    std::unique_ptr<Implementation> implementation_;
};

}  // namespace twintrack::wiring
