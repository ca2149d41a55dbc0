// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/function_monitor.hpp"

#include <algorithm>
#include <cmath>

#include "twintrack/core/error.hpp"

namespace twintrack::monitor {

namespace {

constexpr std::size_t map_steps = FunctionMonitorCalibration::knots - 1;

std::int32_t permille(double share) { return static_cast<std::int32_t>(std::lround(1000.0 * share)); }

std::int32_t ticks(double s, Time period) { return static_cast<std::int32_t>(from_seconds(s) / period); }

std::int32_t position(const FunctionMonitorCalibration::Track& t, std::int32_t counts) noexcept {
    return 1000 * (counts - t.closed) / (t.open - t.closed);
}

/// [‰] The lowest position at which the curve takes `counts`.
std::int32_t along_curve(const FunctionMonitorCalibration::Track& t, std::int32_t counts) noexcept {
    const std::int32_t sign = t.open > t.closed ? 1 : -1;
    for (std::size_t k = 0; k < map_steps; ++k) {
        const std::int32_t rise = sign * (t.curve[k + 1] - t.curve[k]), above = sign * (counts - t.curve[k]);
        if (above > rise || rise <= 0) continue;
        const std::int32_t thousandths = 1000 * static_cast<std::int32_t>(k) + 1000 * std::max(above, 0) / rise;
        return thousandths / static_cast<std::int32_t>(map_steps);
    }
    return 1000;
}

Time checked(const FunctionMonitorParameters& p, const FunctionMonitorCalibration& e, Time period) {
    validate(p, "function_monitor");
    if (period <= Time{0}) throw InvalidParameter("function_monitor.period", "the period of the tick must be positive");
    if (e.allowed.size() != map_steps + 1)
        throw InvalidParameter("function_monitor.allowed",
                               "17 entries are needed; got " + std::to_string(e.allowed.size()));
    if (p.band_low >= p.band_high)
        throw InvalidParameter("function_monitor.band_low", "must be below band_high (" + std::to_string(p.band_high) +
                                                                "); got " + std::to_string(p.band_low));
    for (const auto* side : {&e.pedal, &e.throttle})
        for (const auto& t : *side)
            if (t.closed == t.open) throw InvalidParameter("function_monitor", "a track's two ends must differ");
    return period;
}

}  // namespace

FunctionMonitor::FunctionMonitor(const FunctionMonitorParameters& p, FunctionMonitorCalibration ends, Time period)
    : most_ticks_(ticks(p.time, checked(p, ends, period))),
      margin_(permille(p.margin)),
      idle_(permille(p.idle)),
      apart_(permille(p.apart)),
      most_current_(p.most_current),
      no_current_(p.no_current),
      lowest_pedal_(p.lowest_pedal),
      ends_(std::move(ends)),
      past_(static_cast<std::size_t>(ticks(p.lag, period)) + 1, idle_) {}

/// Opinions of the tracks that are not lost; of three straight ones that differ, those of the two that agree best.
FunctionMonitor::View FunctionMonitor::look(const FunctionMonitorCalibration::Tracks& tracks, std::size_t count,
                                            const Counts& n) const noexcept {
    std::array<std::int32_t, FunctionMonitorCalibration::most_tracks> x{};
    std::size_t asked = 0, curved = count;
    View v;
    for (std::size_t k = 0; k < count; ++k) {
        const bool sound = n[k] >= ends_.lowest && n[k] <= ends_.highest;
        v.lost = v.lost || !sound;
        if (sound && tracks[k].straight) x[asked++] = position(tracks[k], n[k]);
        if (sound && !tracks[k].straight) curved = std::min(curved, k);
    }
    if (asked == 0 && curved < count) x[asked++] = along_curve(tracks[curved], n[curved]);
    v.blind = asked == 0;
    if (v.blind) return v;
    for (std::size_t k = asked; k < x.size(); ++k) x[k] = x[0];
    const auto [least, most] = std::minmax({x[0], x[1], x[2]});
    const std::int32_t middle = x[0] + x[1] + x[2] - least - most;
    v.low = least, v.high = most;
    if (asked == 3 && most - least > apart_ && std::min(middle - least, most - middle) <= apart_) {
        v.lost = true;
        (middle - least <= most - middle ? v.high : v.low) = middle;
    }
    v.apart = v.high - v.low > apart_;
    return v;
}

/// The largest opening demanded within the lag.
std::int32_t FunctionMonitor::permitted(const View& pedal, bool limited) noexcept {
    const std::int32_t held = pedal.blind ? 0 : std::clamp<std::int32_t>(pedal.low, 0, 1000);
    const std::int32_t scaled = held * static_cast<std::int32_t>(map_steps);
    const auto above = static_cast<std::size_t>((scaled + 999) / 1000);  // the next entry: never less than the demand
    const std::int32_t asked = limited ? std::min(ends_.allowed[above], ends_.limited) : ends_.allowed[above];
    past_[next_] = std::max(idle_, asked);
    next_ = (next_ + 1) % past_.size();
    return *std::max_element(past_.begin(), past_.end());
}

void FunctionMonitor::judge(Reason reason, bool condition, std::int32_t& lasted) noexcept {
    lasted = condition ? lasted + 1 : 0;
    if (lasted > most_ticks_ + 1 && reason_ == Reason::none) reason_ = reason;
}

bool FunctionMonitor::step(const Counts& pedal, const Counts& throttle, double current, bool powered) noexcept {
    const View foot = look(ends_.pedal, ends_.pedal_tracks, pedal);
    const View blade = look(ends_.throttle, ends_.throttle_tracks, throttle);
    const bool apart = foot.apart && lowest_pedal_;
    foot_apart_ = apart;
    limited_ = foot.lost || apart || blade.lost;
    judge(Reason::opening, blade.high > permitted(foot, limited_) + margin_, opening_);
    judge(Reason::tracks, (foot.apart && !apart) || blade.apart || blade.blind, tracks_);
    judge(Reason::current, std::fabs(current) > most_current_, current_);
    const bool flows = !powered && std::fabs(current) > no_current_;
    running_ = flows ? running_ + 1 : 0;
    runs_on_ = runs_on_ || running_ > most_ticks_ + 1;
    return !tripped();
}

void FunctionMonitor::pass(const std::vector<Counts>& pedal) noexcept {
    for (const Counts& n : pedal) (void)permitted(look(ends_.pedal, ends_.pedal_tracks, n), limited_);
}

FunctionMonitor::Sight FunctionMonitor::sight(const FunctionMonitorCalibration::Tracks& tracks, std::size_t count,
                                              const Counts& n) const noexcept {
    Sight s;
    bool straight = false;
    for (std::size_t k = 0; k < count; ++k) {
        s.sound[k] = n[k] >= ends_.lowest && n[k] <= ends_.highest;
        s.asked[k] = s.sound[k] && tracks[k].straight;
        straight = straight || s.asked[k];
    }
    s.by_curve = !straight && std::any_of(s.sound.begin(), s.sound.end(), [](bool sound) { return sound; });
    return s;
}

}  // namespace twintrack::monitor
