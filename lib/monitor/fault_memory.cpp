// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/fault_memory.hpp"

#include <algorithm>

namespace twintrack::monitor {

std::size_t FaultMemory::add(TroubleCode code) {
    const auto same = [&](const FaultEntry& e) {
        return e.code.code == code.code && e.code.failure_type == code.failure_type;
    };
    const auto known = std::find_if(entries_.begin(), entries_.end(), same);
    if (known != entries_.end()) return static_cast<std::size_t>(known - entries_.begin());
    entries_.push_back({.code = std::move(code)});
    return entries_.size() - 1;
}

void FaultMemory::pending(std::size_t place, bool there) noexcept {
    FaultEntry& e = entries_[place];
    if (e.state == CodeState::confirmed) return;  // by another condition of the same code
    if (there) e.state = CodeState::pending;
    if (!there && e.state == CodeState::pending) e.state = e.count > 0 ? CodeState::healed : CodeState::absent;
}

void FaultMemory::confirm(std::size_t place, Time now, const FreezeFrame& frame) noexcept {
    FaultEntry& e = entries_[place];
    if (e.count == 0) e.code.confirmed = now;
    if (!e.frame) e.frame = frame;
    e.state = CodeState::confirmed;
    e.last = now;
    e.good_cycles = 0;
    ++e.count;
}

void FaultMemory::heal(std::size_t place, Time now) noexcept {
    FaultEntry& e = entries_[place];
    e.state = CodeState::healed;
    e.healed = now;
}

void FaultMemory::clear() noexcept {
    for (FaultEntry& e : entries_) {
        if (e.state == CodeState::confirmed) continue;
        e.state = CodeState::absent;
        e.count = e.good_cycles = 0;
        e.frame.reset();
    }
}

void FaultMemory::forget() noexcept {
    for (FaultEntry& e : entries_) {
        e.state = CodeState::absent;
        e.count = e.good_cycles = 0;
        e.frame.reset();
    }
}

void FaultMemory::key_off() noexcept {
    for (FaultEntry& e : entries_) {
        const bool in_force = e.state == CodeState::confirmed;
        e.state = e.count > 0 ? CodeState::healed : CodeState::absent;
        if (in_force || e.count == 0) continue;
        if (++e.good_cycles < forget_cycles) continue;
        e.state = CodeState::absent;
        e.count = e.good_cycles = 0;
        e.frame.reset();
    }
}

}  // namespace twintrack::monitor
