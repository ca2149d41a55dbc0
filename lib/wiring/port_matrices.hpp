// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <Eigen/Core>
#include <vector>

#include "active_set.hpp"
#include "system.hpp"
#include "twintrack/wiring/port_law.hpp"
#include "twintrack/wiring/reduction.hpp"

namespace twintrack::wiring {

/// Which elements an input sets, as indices into the netlist's lists.
struct InputTargets {
    std::vector<std::size_t> voltage_sources, regulators, current_sources;
};

/// The net without its ratio sources, seen from the ports, for one choice of segments.
/// Columns of `drive_*` and first columns of `reads`: the constant part, then the inputs.
struct PortMatrices {
    Eigen::MatrixXd aa, ah, ha, hh;    ///< aᵀZa, aᵀZh, its transpose, hᵀZh [Ω]
    Eigen::MatrixXd drive_a, drive_h;  ///< aᵀV, hᵀV
    Eigen::MatrixXd reads;             ///< probes, then clamps and regulators, from (1, inputs, −j, r j)
};

/// The coefficients of port_law.hpp in these segments.
[[nodiscard]] std::vector<double> coefficients(const PortMatrices& t, const PortCounts& n, const Netlist& net,
                                               const Segments& segments, const std::vector<InputTargets>& inputs);

/// `net` has the inputs' sources at zero. A failed `system` (not solvable) must be caught before.
[[nodiscard]] PortMatrices port_matrices(const Netlist& net, const System& system,
                                         const std::vector<InputTargets>& inputs, const std::vector<Probe>& probes);

}  // namespace twintrack::wiring
