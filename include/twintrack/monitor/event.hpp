// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <utility>

#include "twintrack/core/described.hpp"
#include "twintrack/monitor/function_monitor.hpp"
#include "twintrack/monitor/shutdown_device.hpp"
#include "twintrack/monitor/trouble_code.hpp"

namespace twintrack::monitor {

/// Entries of the fault memory without a code of the standard that a workshop needs all the same, with a name
/// of this bench's own and without a failure type. They are no trouble codes and are not listed among them.
enum class Event {
    engine_stall,  ///< the engine ran and stopped, with the key on and fuel permitted
    function_monitor_opening,
    function_monitor_tracks,
    function_monitor_current,
    device_conflict,
    device_brake,
    device_throttle,
    device_supply
};

constexpr std::array<std::pair<Event, const char*>, 8> names(Tag<Event>) {
    using E = Event;
    return {{{E::engine_stall, "engine stalled"},
             {E::function_monitor_opening, "function monitor: opening"},
             {E::function_monitor_tracks, "function monitor: tracks"},
             {E::function_monitor_current, "function monitor: current"},
             {E::device_conflict, "device: brake and throttle"},
             {E::device_brake, "device: brake signal"},
             {E::device_throttle, "device: throttle signal"},
             {E::device_supply, "device: supply"}}};
}

/// As an entry of the fault memory.
[[nodiscard]] TroubleCode entry_of(Event e);

/// Why the motor has lost its power; Reason::none has no event.
[[nodiscard]] Event event_of(FunctionMonitor::Reason reason) noexcept;
/// Why motor and engine have lost their power; Reason::none has no event.
[[nodiscard]] Event event_of(ShutdownDevice::Reason reason) noexcept;

}  // namespace twintrack::monitor
