// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstdint>

#include "twintrack/core/time.hpp"
#include "twintrack/monitor/check.hpp"

namespace twintrack::monitor {

/// Timer: a condition held longer than `confirm` confirms; absent as long as `heal`, it heals unless latched. One good
/// tick starts the count again. Counter: bad ticks count up and good ones down, so that a condition that comes and goes
/// confirms too:
///
///     L ← L + heal at a bad tick,  L ← L − confirm at a good one,  confirmed when L · period > confirm · heal,
///     healed when L is used up, unless latched
///
/// A condition true at ticks t₀ … t₀+n has lasted n periods; it confirms at the first tick where that exceeds `confirm`
/// ("persisting more than 100 ms" trips at 101 ms with a 1 ms tick, not at 100). Both count it the same way.
class Debounce {
public:
    Debounce(Time period, Time confirm, Time heal, bool latch, Counting counting = Counting::timer) noexcept;
    /// As the parameters say.
    Debounce(const CheckParameters& p, Time period) noexcept;

    /// Returns true at the tick that confirms (a rising edge).
    bool step(bool condition) noexcept;
    [[nodiscard]] bool confirmed() const noexcept { return confirmed_; }
    /// Neither confirmed nor on the way there.
    [[nodiscard]] bool at_rest() const noexcept { return !confirmed_ && bad_ < Time{0} && level_ < 0; }
    /// As `ticks` good ones, where nothing is confirmed.
    void pass(std::int64_t ticks) noexcept;
    /// A timer that runs, and the bad tick from now that confirms; as `ticks` bad ones before that.
    [[nodiscard]] bool runs() const noexcept { return counting_ == Counting::timer && !confirmed_ && bad_ >= Time{0}; }
    [[nodiscard]] std::int64_t confirms_in() const noexcept { return (confirm_ - bad_) / period_ + 1; }
    void run_on(std::int64_t ticks) noexcept { bad_ += ticks * period_; }
    /// Confirmed until it is reset.
    [[nodiscard]] bool latched() const noexcept { return confirmed_ && latch_; }
    void reset() noexcept;

private:
    bool step_timer(bool condition) noexcept;
    bool step_counter(bool condition) noexcept;

    Time period_, confirm_, heal_;
    bool latch_;
    Counting counting_;
    Time bad_{-1}, good_{-1};  ///< how long the present run of bad or good ticks has lasted; −1: none
    std::int64_t level_ = -1;  ///< L; −1: used up
    bool confirmed_ = false;
};

}  // namespace twintrack::monitor
