// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/described.hpp"
#include "twintrack/core/time.hpp"
#include "twintrack/monitor/debounce.hpp"

namespace twintrack::monitor {

/// The independent, non-programmable device of the student-competition rules 2024, IC.4.8 (read in the published text):
/// comparators and timers on voltages, no learned ranges. It shuts the engine down (IC.9.2.2: fuel, ignition, the
/// throttle's power) for
///
///     hard braking and throttle beyond 10 %          more than 1 s
///     the brake's signal outside 0.5 … 4.5 V         more than 100 ms
///     the throttle's signal outside its band         more than 100 ms
///     its own supply gone                            at once
///
/// and only a cycle of the master switch resets it (IC.4.8.5). The rules leave the band to the sensor; 0.2 … 4.8 V for
/// the throttle and 4.2 V of supply, that of the controller (control/power.hpp), are this bench's own: at 5 V the
/// engine starts and drops of ISO 16750-2 to 4.5 V, which the controller outlives, would latch it.
struct ShutdownDeviceParameters {
    bool enabled = false;
    double throttle_share = 0.10;  ///< [share of travel] at which its comparator is trimmed
    double brake_time = 1.0;       ///< [s]
    double signal_time = 0.1;      ///< [s]
    double brake_low = 0.5;        ///< [V]
    double brake_high = 4.5;       ///< [V]
    double throttle_low = 0.2;     ///< [V]
    double throttle_high = 4.8;    ///< [V]
    double least_supply = 4.2;     ///< [V] below which it drops out
};

[[nodiscard]] const Description& description(Tag<ShutdownDeviceParameters>);

class ShutdownDevice {
public:
    enum class Reason { none, brake_and_throttle, brake_signal, throttle_signal, supply };

    /// Throttle voltage beyond which the throttle counts as open: above `threshold` where the track `rises`, else
    /// below.
    struct Trim {
        double threshold = 0.0;  ///< [V]
        bool rises = true;
    };

    ShutdownDevice(const ShutdownDeviceParameters& p, Trim trim, Time period) noexcept;

    /// Voltages at this tick [V]. Returns whether engine and throttle may have power.
    bool step(double brake_volts, bool braking_hard, double throttle_volts, double supply) noexcept;

    /// Nothing is being counted, or it has tripped.
    [[nodiscard]] bool settled() const noexcept {
        return tripped() || (conflict_.at_rest() && brake_.at_rest() && throttle_.at_rest());
    }
    [[nodiscard]] bool tripped() const noexcept { return reason_ != Reason::none; }
    [[nodiscard]] Reason reason() const noexcept { return reason_; }

private:
    ShutdownDeviceParameters p_;
    Trim trim_;
    Debounce conflict_, brake_, throttle_;
    Reason reason_ = Reason::none;
};

constexpr std::array<std::pair<ShutdownDevice::Reason, const char*>, 5> names(Tag<ShutdownDevice::Reason>) {
    using R = ShutdownDevice::Reason;
    return {{{R::none, "none"},
             {R::brake_and_throttle, "brake and throttle"},
             {R::brake_signal, "brake signal"},
             {R::throttle_signal, "throttle signal"},
             {R::supply, "supply"}}};
}

}  // namespace twintrack::monitor
