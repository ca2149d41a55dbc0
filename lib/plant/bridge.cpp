// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/bridge.hpp"

namespace twintrack::plant {

Terminal<double> terminal(const BridgeParameters& p, BridgeMode mode, double duty, double supply) {
    const double switches = 2.0 * p.switch_resistance;
    switch (mode) {
        case BridgeMode::drive:
            return driving(p, clamp(duty, -1.0, 1.0), supply);
        case BridgeMode::brake:
            return {0.0, switches, p.current_limit, mode};
        case BridgeMode::high_impedance:
            break;
    }
    return {supply + 2.0 * p.diode_drop, 0.0, p.current_limit, BridgeMode::high_impedance};
}

}  // namespace twintrack::plant
