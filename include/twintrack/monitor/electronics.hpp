// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>

#include "twintrack/control/unit.hpp"
#include "twintrack/monitor/check.hpp"

/// Conditions on the controller's own electronics: its resets and the motor bridge.
namespace twintrack::monitor {

/// What the bridge reports is debounced; a reset is a fact of the tick that follows it. Below `least_supply` a low
/// reference is no fault of the reference: its regulator has nothing to regulate.
///
///     reset       the controller was in reset while the key was on                          P0560
///     resets      n of them within `window`: a supply that drops again and again            P0561
///     shorted     leads to ground, to battery, across                                       P2102, P2103, P2118
///     off_open    the test of the open bridge finds no motor                                P2100
///     hot         bridge or winding takes the current back                                  P2118
struct ElectronicsParameters {
    double least_supply = 5.5;  ///< [V]
    int most_resets = 5;        ///< n
    double window = 10.0;       ///< [s]
    CheckParameters reset{.confirm_time = 0.0, .heal_time = 1.0, .latch = false};
    CheckParameters resets{.confirm_time = 0.0};
    CheckParameters shorted{.counting = Counting::counter};  ///< a bridge that tries again finds it by turns
    CheckParameters off_open{};
    CheckParameters hot{.confirm_time = 1.0, .heal_time = 5.0, .latch = false};
};

[[nodiscard]] const Description& description(Tag<ElectronicsParameters>);

/// The resets of a key cycle.
class ResetCount {
public:
    /// A controller that was in reset with the key on runs again.
    void add(Time now) noexcept;
    [[nodiscard]] bool too_many(const ElectronicsParameters& p, Time now) const noexcept;
    /// At the tick that follows a reset.
    [[nodiscard]] bool just(Time now) const noexcept { return count_ > 0 && last(1) == now; }
    void clear() noexcept { count_ = 0; }

private:
    static constexpr std::size_t most = 8;
    [[nodiscard]] Time last(std::size_t back) const noexcept { return times_[(count_ - back) % most]; }

    std::array<Time, most> times_{};
    std::size_t count_ = 0;
};

}  // namespace twintrack::monitor
