// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "port_matrices.hpp"

/// Laws of nets that were reduced before, by this process: the cases of a study mostly have the same nets, and reducing
/// one costs more than some hundred ticks.
namespace twintrack::wiring {

/// Coefficients of port_law.hpp.
using Law = std::shared_ptr<const std::vector<double>>;

/// All numbers that a law follows from, names left out.
[[nodiscard]] std::string law_key(const Netlist& net, const Segments& segments, const std::vector<InputTargets>& inputs,
                                  const std::vector<Probe>& probes);

/// The law kept under that key, or null. For any thread.
[[nodiscard]] Law known_law(const std::string& key);
/// For any thread; a few thousand are kept.
void keep_law(const std::string& key, Law law);

}  // namespace twintrack::wiring
