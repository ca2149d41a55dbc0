// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/plant/bridge_guard.hpp"
#include "twintrack/wiring/netlist.hpp"
#include "twintrack/wiring/reduction.hpp"

namespace twintrack::wiring {

/// The test of an open bridge (harness.hpp), on a net of its own: its currents are too small to move the motor, and the
/// harness stays as it is.
class OffStateTest {
public:
    /// `net` of the harness; its ratio source `first_leg` is the leg at the pin "motor +", the next that at "motor -".
    OffStateTest(Netlist net, std::size_t first_leg);

    /// Of ratio source k.
    void set_resistance(std::size_t k, double ohms) { reduced_.set_resistance(k, ohms); }

    /// `ratios` of all ratio sources; those of the legs do not count.
    [[nodiscard]] plant::BridgeFault find(double reference, double supply, const std::vector<double>& ratios);

private:
    std::size_t first_leg_;
    std::vector<double> ratios_;
    ReducedNet reduced_;
};

}  // namespace twintrack::wiring
