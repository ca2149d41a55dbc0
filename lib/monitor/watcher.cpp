// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/watcher.hpp"

#include <algorithm>
#include <cmath>

#include "twintrack/core/error.hpp"

namespace twintrack::monitor {

namespace {

constexpr std::size_t map_steps = 16;

std::int32_t permille(double share) { return static_cast<std::int32_t>(std::lround(1000.0 * share)); }

std::int32_t ticks(double s, Time period) { return static_cast<std::int32_t>(from_seconds(s) / period); }

std::int32_t position(const WatcherEnds::Track& t, std::int32_t counts) noexcept {
    return 1000 * (counts - t.closed) / (t.open - t.closed);
}

Time checked(const WatcherParameters& p, const WatcherEnds& e, Time period) {
    validate(p, "watcher");
    if (period <= Time{0}) throw InvalidParameter("watcher.period", "the period of the tick must be positive");
    if (e.allowed.size() != map_steps + 1)
        throw InvalidParameter("watcher.allowed", "17 entries are needed; got " + std::to_string(e.allowed.size()));
    for (const auto* side : {&e.pedal, &e.throttle})
        for (const auto& t : *side)
            if (t.closed == t.open) throw InvalidParameter("watcher", "a track's two ends must differ");
    return period;
}

}  // namespace

Watcher::Watcher(const WatcherParameters& p, WatcherEnds ends, Time period)
    : most_ticks_(ticks(p.time, checked(p, ends, period))),
      margin_(permille(p.margin)),
      idle_(permille(p.idle)),
      apart_(permille(p.apart)),
      most_current_(p.most_current),
      no_current_(p.no_current),
      ends_(std::move(ends)),
      past_(static_cast<std::size_t>(ticks(p.lag, period)) + 1, idle_) {}

/// The largest opening that the foot has asked for within the lag.
std::int32_t Watcher::permitted(std::int32_t pedal) noexcept {
    const std::int32_t held = std::clamp<std::int32_t>(pedal, 0, 1000);
    const std::int32_t scaled = held * static_cast<std::int32_t>(map_steps);
    const auto above = static_cast<std::size_t>((scaled + 999) / 1000);  // the next entry: never less than asked
    past_[next_] = std::max(idle_, ends_.allowed[above]);
    next_ = (next_ + 1) % past_.size();
    return *std::max_element(past_.begin(), past_.end());
}

void Watcher::judge(Reason reason, bool condition, std::int32_t& lasted) noexcept {
    lasted = condition ? lasted + 1 : 0;
    if (lasted > most_ticks_ + 1 && reason_ == Reason::none) reason_ = reason;
}

bool Watcher::step(const std::array<std::int32_t, 2>& pedal, const std::array<std::int32_t, 2>& throttle,
                   double current, bool powered) noexcept {
    const std::int32_t p1 = position(ends_.pedal[0], pedal[0]), p2 = position(ends_.pedal[1], pedal[1]);
    const std::int32_t b1 = position(ends_.throttle[0], throttle[0]), b2 = position(ends_.throttle[1], throttle[1]);
    const std::int32_t foot = ends_.compare_pedal ? std::min(p1, p2) : p1;
    const std::int32_t blade = ends_.compare_throttle ? std::max(b1, b2) : b1;
    const bool differ =
        (ends_.compare_pedal && std::abs(p1 - p2) > apart_) || (ends_.compare_throttle && std::abs(b1 - b2) > apart_);
    judge(Reason::opening, blade > permitted(foot) + margin_, opening_);
    judge(Reason::tracks, differ, tracks_);
    judge(Reason::current, std::fabs(current) > most_current_, current_);
    const bool flows = !powered && std::fabs(current) > no_current_;
    running_ = flows ? running_ + 1 : 0;
    runs_on_ = runs_on_ || running_ > most_ticks_ + 1;
    return !tripped();
}

}  // namespace twintrack::monitor
