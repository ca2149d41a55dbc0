// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/time.hpp"

namespace twintrack::monitor {

/// Timer debouncing: a condition held longer than `confirm` confirms; absent as long as `heal`, it heals unless
/// latched.
///
/// A condition seen at ticks t₀ … t₀+n has lasted n periods; it confirms at the first tick where that exceeds `confirm`
/// ("persisting more than 100 ms" trips at 101 ms with a 1 ms tick, not at 100).
class Debounce {
public:
    Debounce(Time period, Time confirm, Time heal, bool latch) noexcept
        : period_(period), confirm_(confirm), heal_(heal), latch_(latch) {}

    /// Returns true at the tick that confirms (a rising edge).
    bool step(bool condition) noexcept;
    [[nodiscard]] bool confirmed() const noexcept { return confirmed_; }
    void reset() noexcept;

private:
    Time period_, confirm_, heal_;
    bool latch_;
    Time bad_{-1}, good_{-1};  ///< how long the present run of bad or good ticks has lasted; −1: none
    bool confirmed_ = false;
};

}  // namespace twintrack::monitor
