// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/fault/wiring_faults.hpp"
#include "twintrack/wiring/harness.hpp"

namespace twintrack::bench {

/// The wiring of a bench from tick to tick: the harness with its faults, or ideal wiring.
///
/// Which faults there are changes only at ticks: then the net is edited and reduced anew. Between ticks only those that
/// come and go change, as ports of the net.
class Wires {
public:
    /// InvalidParameter for faults at places that are not there, or that cannot be together.
    Wires(const BenchParameters& p, const fault::Schedule& faults, Time period);

    /// Whether it ever has faults of its own.
    [[nodiscard]] bool faulty() const noexcept { return !faults_.empty(); }
    /// The faults that are due at this tick, each as far as it has grown.
    void tick(Time now);

    /// A fault starts or ends between ticks.
    [[nodiscard]] bool moving() const noexcept { return moving_; }

    /// The instants inside (begin, end) at which a fault starts or ends, in order, and `end` itself.
    const std::vector<Time>& instants(Time begin, Time end);

    /// From now on the contacts are as they are at that instant.
    void at(Time instant);

    /// The harness that is there, or nothing.
    [[nodiscard]] const wiring::Harness* harness() const noexcept { return harness_ ? &*harness_ : nullptr; }

    /// What the converter has before it, with nothing said of the motor's ends.
    [[nodiscard]] wiring::HarnessOutput read(const wiring::HarnessInput& input);
    [[nodiscard]] plant::Terminal<double> drive(const wiring::HarnessInput& input);
    /// Of the last drive(); the motor's own where nothing stands between.
    [[nodiscard]] plant::LegCurrents legs(double motor_current) const;
    /// The test of an open bridge; a harness without faults passes it unasked.
    [[nodiscard]] plant::BridgeFault off_state(const wiring::HarnessInput& input);

private:
    /// A growing or intermittent fault.
    struct Port {
        fault::Fault fault;
        fault::Intermittence times;
        wiring::PortFault law;  ///< without its net
        double ohms;            ///< as set last
    };

    [[nodiscard]] bool active(std::size_t k, Time now) const;
    wiring::Netlist edit(Time now);
    void check_names(const sensing::PedalParameters& pedal, const sensing::ThrottleBodyParameters& body) const;

    BenchParameters p_;
    Time period_;
    std::vector<fault::Fault> faults_;
    std::optional<wiring::Harness> harness_;
    std::vector<bool> in_force_;
    std::vector<Port> ports_;
    bool moving_ = false;
    std::vector<Time> instants_;
};

}  // namespace twintrack::bench
