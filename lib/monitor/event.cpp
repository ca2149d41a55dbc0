// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/event.hpp"

#include <cassert>

namespace twintrack::monitor {

namespace {

/// In the order of Event.
constexpr std::array<const char*, names(Tag<Event>{}).size()> meanings = {
    "the engine stopped by itself, with the key on and fuel permitted",
    "function monitor: the blade was further open than the pedal permits; motor power removed",
    "function monitor: tracks contradicted each other, or none of the blade was left; motor power removed",
    "function monitor: motor current too high; motor power removed",
    "independent device: hard braking with an open throttle; motor and engine switched off",
    "independent device: brake signal outside its band; motor and engine switched off",
    "independent device: throttle signal outside its band; motor and engine switched off",
    "independent device: supply too low; motor and engine switched off"};

}  // namespace

TroubleCode entry_of(Event e) {
    const auto k = static_cast<std::size_t>(e);
    return {names(Tag<Event>{})[k].second, "", meanings[k], {}};
}

Event event_of(FunctionMonitor::Reason reason) noexcept {
    assert(reason != FunctionMonitor::Reason::none);
    return static_cast<Event>(static_cast<int>(Event::function_monitor_opening) + static_cast<int>(reason) - 1);
}

Event event_of(ShutdownDevice::Reason reason) noexcept {
    assert(reason != ShutdownDevice::Reason::none);
    return static_cast<Event>(static_cast<int>(Event::device_conflict) + static_cast<int>(reason) - 1);
}

}  // namespace twintrack::monitor
