// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/debounce.hpp"

#include <algorithm>

namespace twintrack::monitor {

namespace {

constexpr Time none{-1};

}  // namespace

Debounce::Debounce(Time period, Time confirm, Time heal, bool latch, Counting counting) noexcept
    : period_(period), confirm_(confirm), heal_(heal), latch_(latch), counting_(counting) {}

Debounce::Debounce(const CheckParameters& p, Time period) noexcept
    : Debounce(period, from_seconds(p.confirm_time), from_seconds(p.heal_time), p.latch, p.counting) {}

bool Debounce::step(bool condition) noexcept {
    return counting_ == Counting::timer ? step_timer(condition) : step_counter(condition);
}

bool Debounce::step_timer(bool condition) noexcept {
    Time& run = condition ? bad_ : good_;
    (condition ? good_ : bad_) = none;
    run = run == none ? Time{0} : run + period_;
    if (condition && !confirmed_ && bad_ > confirm_) {
        confirmed_ = true;
        return true;
    }
    if (!condition && confirmed_ && !latch_ && good_ >= heal_) confirmed_ = false;
    return false;
}

bool Debounce::step_counter(bool condition) noexcept {
    const std::int64_t up = std::max(heal_, period_).count(), down = std::max(confirm_, period_).count();
    const std::int64_t enough = (confirm_ / period_ + 1) * up;  // the first level that exceeds `confirm`
    if (!condition) {
        level_ = std::max<std::int64_t>(level_ - down, -1);
        if (level_ < 0 && !latch_) confirmed_ = false;
        return false;
    }
    level_ = level_ < 0 ? 0 : std::min(level_ + up, enough);
    if (confirmed_ || level_ < enough) return false;
    return confirmed_ = true;
}

void Debounce::pass(std::int64_t ticks) noexcept {
    bad_ = none;
    good_ = (ticks - 1) * period_;
    const std::int64_t down = std::max(confirm_, period_).count();
    level_ = std::max<std::int64_t>(level_ - ticks * down, -1);
}

void Debounce::reset() noexcept {
    bad_ = good_ = none;
    level_ = -1;
    confirmed_ = false;
}

}  // namespace twintrack::monitor
