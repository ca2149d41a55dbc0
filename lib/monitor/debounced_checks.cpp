// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/debounced_checks.hpp"

#include <algorithm>
#include <limits>

namespace twintrack::monitor {

std::size_t DebouncedChecks::add(Check check, std::optional<Assembly> side, const CheckParameters& p,
                                 TroubleCode code) {
    const std::size_t place = memory_.add(code);
    if (place >= listed_.size()) {
        listed_.resize(place + 1);
        codes_.reserve(place + 1);
    }
    list_.push_back({check, side, p.enabled, Debounce(p, period_), place});
    return list_.size() - 1;
}

void DebouncedChecks::begin(const control::Input& in, const control::Command& last, Reaction reaction) noexcept {
    frame_ = {in, last, reaction};
}

bool DebouncedChecks::count(DebouncedCheck& w, bool condition) noexcept {
    if (!w.enabled) return false;
    if (w.debounce.step(condition)) confirm(w);
    if (w.confirmed && !w.debounce.confirmed()) memory_.heal(w.place, frame_.input.time);
    in_force_ += int{w.debounce.confirmed()} - int{w.confirmed};
    changed_ = changed_ || w.debounce.confirmed() != w.confirmed;
    w.confirmed = w.debounce.confirmed();
    if (!w.confirmed) memory_.pending(w.place, condition);
    w.at_rest = !condition && !w.confirmed && w.debounce.at_rest();
    return w.confirmed;
}

void DebouncedChecks::state(std::size_t number) noexcept {
    DebouncedCheck& w = list_[number];
    if (w.confirmed) return;
    w.confirmed = changed_ = true;
    ++in_force_;
    w.at_rest = false;
    confirm(w);
}

void DebouncedChecks::confirm(DebouncedCheck& w) noexcept {
    memory_.confirm(w.place, frame_.input.time, frame_);
    if (listed_[w.place]) return;
    listed_[w.place] = true;
    codes_.push_back(memory_.entries()[w.place].code);
    codes_.back().confirmed = frame_.input.time;
}

bool DebouncedChecks::lasting() const noexcept {
    return std::all_of(list_.begin(), list_.end(),
                       [](const DebouncedCheck& w) { return !w.confirmed || stated(w) || w.debounce.latched(); });
}

std::int64_t DebouncedChecks::confirms_in() const noexcept {
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (const DebouncedCheck& w : list_)
        if (timer_runs(w)) least = std::min(least, w.debounce.confirms_in());
    return least;
}

void DebouncedChecks::pass(std::int64_t ticks) noexcept {
    for (DebouncedCheck& w : list_) {
        if (!w.enabled || w.confirmed || w.at_rest) continue;
        if (timer_runs(w)) {
            w.debounce.run_on(ticks);
            continue;
        }
        w.debounce.pass(ticks);
        memory_.pending(w.place, false);
        w.at_rest = w.debounce.at_rest();
    }
}

void DebouncedChecks::restart() noexcept {
    for (DebouncedCheck& w : list_) {
        w.debounce.reset();
        w.confirmed = false;
        w.at_rest = true;
    }
    memory_.forget();
    std::fill(listed_.begin(), listed_.end(), false);
    codes_.clear();
    in_force_ = 0;
    changed_ = true;
}

void DebouncedChecks::reboot(Time now) noexcept {
    for (DebouncedCheck& w : list_) {
        if (w.confirmed) memory_.heal(w.place, now);
        if (!w.confirmed) memory_.pending(w.place, false);
        w.debounce.reset();
        w.confirmed = false;
        w.at_rest = true;
    }
    in_force_ = 0;
    changed_ = true;
}

void DebouncedChecks::tell(Findings& findings) noexcept {
    findings.any = in_force_ > 0;
    if (!findings.any) return;
    if (changed_) {
        confirmed_ = {};
        for (const DebouncedCheck& w : list_) {
            auto& sides = confirmed_[static_cast<std::size_t>(w.check)];
            if (!w.side) sides[0] = sides[1] = sides[0] || w.confirmed;
            if (w.side) sides[static_cast<std::size_t>(*w.side)] |= w.confirmed;
        }
        changed_ = false;
    }
    findings.confirmed = confirmed_;
}

}  // namespace twintrack::monitor
