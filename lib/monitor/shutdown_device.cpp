// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/shutdown_device.hpp"

namespace twintrack::monitor {

namespace {

Debounce timer(double s, Time period) noexcept { return {period, from_seconds(s), Time{0}, true}; }

}  // namespace

ShutdownDevice::ShutdownDevice(const ShutdownDeviceParameters& p, Trim trim, Time period) noexcept
    : p_(p),
      trim_(trim),
      conflict_(timer(p.brake_time, period)),
      brake_(timer(p.signal_time, period)),
      throttle_(timer(p.signal_time, period)) {}

bool ShutdownDevice::step(double brake_volts, bool braking_hard, double throttle_volts, double supply) noexcept {
    const bool open = trim_.rises ? throttle_volts > trim_.threshold : throttle_volts < trim_.threshold;
    const auto trip = [&](Reason reason, bool now) {
        if (now && reason_ == Reason::none) reason_ = reason;
    };
    trip(Reason::supply, supply < p_.least_supply);
    trip(Reason::brake_and_throttle, conflict_.step(braking_hard && open));
    trip(Reason::brake_signal, brake_.step(brake_volts < p_.brake_low || brake_volts > p_.brake_high));
    trip(Reason::throttle_signal,
         throttle_.step(throttle_volts < p_.throttle_low || throttle_volts > p_.throttle_high));
    return !tripped();
}

}  // namespace twintrack::monitor
