// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/electronics.hpp"

#include "twintrack/core/describe.hpp"
#include "twintrack/monitor/monitor.hpp"

namespace twintrack::monitor {

const Description& description(Tag<ElectronicsParameters>) {
    using P = ElectronicsParameters;
    static const Description described = describe<P>(
        {{&P::least_supply, "least_supply", "V", "supply from which references are checked", {0.0, 36.0}},
         {&P::most_resets, "most_resets", "", "resets within the window that count as one fault", {1.0, 8.0}},
         {&P::window, "window", "s", "time in which resets are counted", {0.1, 3600.0}},
         {&P::reset, "reset", "", "reset while the key was on"},
         {&P::resets, "resets", "", "resets again and again"},
         {&P::shorted, "shorted", "", "motor lead shorted"},
         {&P::off_open, "off_open", "", "no motor at the open bridge"},
         {&P::hot, "hot", "", "current taken back because of heat"}});
    return described;
}

using plant::BridgeFault;

namespace {

/// Confirmed by the tick at which it is found.
CheckParameters at_once(CheckParameters p) {
    if (p.confirm_time == 0.0) p.confirm_time = -1e-6;
    return p;
}

}  // namespace

void ResetCount::add(Time now) noexcept {
    times_[count_ % most] = now;
    ++count_;
}

bool ResetCount::too_many(const ElectronicsParameters& p, Time now) const noexcept {
    const auto n = static_cast<std::size_t>(p.most_resets);
    return count_ >= n && now - last(n) <= from_seconds(p.window);
}

void Monitor::add_electronics() {
    const ElectronicsParameters& p = p_.electronics;
    const auto add = [&](Check c, const CheckParameters& check, TroubleCode code) {
        return checks_.add(c, {}, check, std::move(code));
    };
    n_.reset = add(Check::supply, at_once(p.reset), supply_lost());
    n_.resets = add(Check::resets, at_once(p.resets), supply_unstable());
    n_.shorted = {add(Check::motion, p.shorted, motor_to_ground()), add(Check::motion, p.shorted, motor_to_battery()),
                  add(Check::motion, p.shorted, motor_shorted())};
    n_.off_open = add(Check::motion, p.off_open, motor_open());
    n_.hot = add(Check::heat, p.hot, motor_hot());
    checks_.add_modes();
}

void Monitor::check_electronics(const control::Input& in) noexcept {
    checks_.step(n_.reset, resets_.just(in.time));
    checks_.step(n_.resets, resets_.too_many(p_.electronics, in.time));
    const BridgeFault found = in.bridge.fault;
    checks_.step(n_.shorted[0], found == BridgeFault::short_to_ground);
    checks_.step(n_.shorted[1], found == BridgeFault::short_to_battery);
    checks_.step(n_.shorted[2], found == BridgeFault::short_across);
    checks_.step(n_.off_open, found == BridgeFault::open_load);
    checks_.step(n_.hot, in.bridge.derated);
}

void Monitor::reboot(Time now, bool starved) noexcept {
    checks_.reboot(now);
    pedal_.restart();
    throttle_.restart();
    motion_.restart();
    idle_speed_.restart();
    table_.reboot();
    ran_ = false;
    powered_ = starved;  // the blade may still be on its way to the default position
    reaction_ = Reaction::none;
    if (starved) resets_.add(now);
}

void Monitor::report(Reaction in_force) noexcept {
    if (in_force == reported_) return;
    if (reported_ != Reaction::none) checks_.leave(reported_);
    if (in_force != Reaction::none) checks_.enter(in_force);
    reported_ = in_force;
}

}  // namespace twintrack::monitor
