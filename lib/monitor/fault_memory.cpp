// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/fault_memory.hpp"

#include <algorithm>

namespace twintrack::monitor {

namespace {

constexpr std::size_t mode_count = names(Tag<Reaction>{}).size() - 1;

std::size_t place_of(Reaction mode) { return static_cast<std::size_t>(mode) - 1; }

void confirm(FaultEntry& e, Time now, const FreezeFrame& frame) noexcept {
    if (e.count == 0) e.code.confirmed = now;
    if (!e.frame) e.frame = frame;
    e.state = CodeState::confirmed;
    e.last = now;
    e.good_cycles = 0;
    ++e.count;
}

void forget(FaultEntry& e) noexcept {
    e.state = CodeState::absent;
    e.count = e.good_cycles = 0;
    e.frame.reset();
}

void end_cycle(FaultEntry& e) noexcept {
    const bool in_force = e.state == CodeState::confirmed;
    e.state = e.count > 0 ? CodeState::healed : CodeState::absent;
    if (in_force || e.count == 0) return;
    if (++e.good_cycles >= FaultMemory::forget_cycles) forget(e);
}

}  // namespace

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
    monitor::confirm(entries_[place], now, frame);
}

void FaultMemory::add_modes() {
    for (const auto& [reaction, name] : names(Tag<Reaction>{}))
        if (modes_.size() < mode_count && reaction != Reaction::none) modes_.push_back({.code = forced_mode(reaction)});
}

void FaultMemory::enter(Reaction mode, Time now, const FreezeFrame& frame) noexcept {
    monitor::confirm(modes_[place_of(mode)], now, frame);
}

void FaultMemory::leave(Reaction mode, Time now) noexcept {
    FaultEntry& e = modes_[place_of(mode)];
    e.state = CodeState::healed;
    e.healed = now;
}

void FaultMemory::heal(std::size_t place, Time now) noexcept {
    FaultEntry& e = entries_[place];
    e.state = CodeState::healed;
    e.healed = now;
}

void FaultMemory::clear() noexcept {
    for (auto* list : {&entries_, &modes_})
        for (FaultEntry& e : *list)
            if (e.state != CodeState::confirmed) monitor::forget(e);
}

void FaultMemory::forget() noexcept {
    for (auto* list : {&entries_, &modes_})
        for (FaultEntry& e : *list) monitor::forget(e);
}

void FaultMemory::key_off() noexcept {
    for (auto* list : {&entries_, &modes_})
        for (FaultEntry& e : *list) end_cycle(e);
}

}  // namespace twintrack::monitor
