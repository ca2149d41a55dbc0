// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/bench/session.hpp"
#include "twintrack/bench/wires.hpp"
#include "twintrack/core/random.hpp"

namespace twintrack::bench {

/// The controller's inputs: what arrives through the wiring, filtered and converted.
class Inputs {
public:
    Inputs(const BenchParameters& p, Time period);

    /// Brings the filters up to this tick and fills in the controller's inputs. False when the wiring has no
    /// answer.
    bool sample(Wires& wires, const wiring::HarnessInput& sources, std::int64_t tick, Snapshot& now);

private:
    bool look_back(Wires& wires, const wiring::HarnessInput& sources, Time now);
    void convert(double reference, double duty, std::int64_t tick, Snapshot& now) const;

    template <class Visitor>
    void for_each_channel(const wiring::Ends& ends, Visitor&& visit) {
        for (std::size_t k = 0; k < pedal_.size(); ++k) visit(pedal_[k], ends.pedal[k]);
        for (std::size_t k = 0; k < throttle_.size(); ++k) visit(throttle_[k], ends.throttle[k]);
    }

    Time period_;
    bool pedal_shares_, throttle_shares_;  ///< one reference pin for all tracks of an assembly
    std::vector<sensing::Channel> pedal_, throttle_;
    std::vector<double> pedal_pickup_, throttle_pickup_;  ///< of each track's wire, as a share of the supply
    NoiseStream phase_;                                   ///< of the bridge at each sample
};

}  // namespace twintrack::bench
