// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/unit.hpp"

#include <algorithm>
#include <cmath>

namespace twintrack::monitor {

namespace {

using control::asked;
using control::UnitFailure;
using control::wrong_answer;

constexpr const char* who = "the monitor";

bool fits(const std::string& code) {
    const auto allowed = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '-' || c == '_' ||
               c == ':' || c == ' ';
    };
    return !code.empty() && code.size() <= 32 && std::all_of(code.begin(), code.end(), allowed);
}

std::optional<std::string> unusable(const Action& o) {
    if (!(o.demand_limit >= 0.0 && o.demand_limit <= 1.0))
        return wrong_answer(who, "orders.demand_limit", o.demand_limit, "0 to 1");
    if (!(o.slope_limit >= 0.0 && std::isfinite(o.slope_limit)))
        return wrong_answer(who, "orders.slope_limit", o.slope_limit, "0 or more");
    if (!(o.speed_limit >= 0.0 && std::isfinite(o.speed_limit)))
        return wrong_answer(who, "orders.speed_limit", o.speed_limit, "0 or more");
    return {};
}

/// Of two limits of which 0 means "none".
double lower(double a, double b) noexcept { return a == 0.0 ? b : b == 0.0 ? a : std::min(a, b); }

}  // namespace

std::optional<std::string> unusable(const MonitorAnswer& a) {
    const auto reaction = static_cast<std::size_t>(a.reaction);
    if (reaction >= names(Tag<Reaction>{}).size()) return std::string(who) + " answered a reaction that there is not";
    for (const std::string& code : a.codes)
        if (!fits(code))
            return std::string(who) + " answered the code '" + code.substr(0, 40) +
                   "'; allowed: 1 to 32 letters, digits, blanks, '-', '_' and ':'";
    return a.orders ? unusable(*a.orders) : std::nullopt;
}

Action stricter(const Action& a, const Action& b) noexcept {
    return {.demand_limit = std::min(a.demand_limit, b.demand_limit),
            .slope_limit = lower(a.slope_limit, b.slope_limit),
            .lowest_track = a.lowest_track || b.lowest_track,
            .motor_permitted = a.motor_permitted && b.motor_permitted,
            .speed_limit = lower(a.speed_limit, b.speed_limit),
            .fuel_permitted = a.fuel_permitted && b.fuel_permitted};
}

OwnMonitor::OwnMonitor(MonitorFunction step, const Ladder& ladder, FaultMemory history, Make again)
    : step_(std::move(step)), again_(std::move(again)), ladder_(ladder), memory_(std::move(history)) {
    memory_.add_modes();
}

Reaction OwnMonitor::step(const control::Input& in, const control::Command& last) {
    frame_ = {in, last, answer_.reaction};
    MonitorAnswer answer = asked(who, [&] { return step_(in, last); });
    if (auto wrong = unusable(answer)) throw UnitFailure(*wrong);
    answer_ = std::move(answer);
    for (Held& held : in_force_) held.said = false;
    asked(who, [&] {
        for (const std::string& text : answer_.codes) set(text);
    });
    heal();
    return answer_.reaction;
}

void OwnMonitor::set(const std::string& text) {
    for (Held& held : in_force_)
        if (held.text == text) {
            held.said = true;
            return;
        }
    TroubleCode code = code_of(text);
    code.confirmed = frame_.input.time;
    const std::size_t place = memory_.add(code);
    memory_.confirm(place, frame_.input.time, frame_);
    in_force_.push_back({text, place, true});
    const auto same = [&](const TroubleCode& c) { return c.text() == text; };
    if (std::none_of(codes_.begin(), codes_.end(), same)) codes_.push_back(code);
}

void OwnMonitor::heal() noexcept {
    for (const Held& held : in_force_)
        if (!held.said) memory_.heal(held.place, frame_.input.time);
    std::erase_if(in_force_, [](const Held& held) { return !held.said; });
}

Action OwnMonitor::action(Reaction in_force) const noexcept {
    if (!answer_.orders) return ladder_.of(in_force);
    return in_force == answer_.reaction ? *answer_.orders : stricter(*answer_.orders, ladder_.of(in_force));
}

void OwnMonitor::trust(control::Input& in) const noexcept {
    in.pedal_trust = answer_.pedal_trust;
    in.throttle_trust = answer_.throttle_trust;
}

void OwnMonitor::report(Reaction in_force) noexcept {
    if (in_force == reported_) return;
    if (reported_ != Reaction::none) memory_.leave(reported_, frame_.input.time);
    if (in_force != Reaction::none) memory_.enter(in_force, frame_.input.time, frame_);
    reported_ = in_force;
}

void OwnMonitor::note(Event e) {
    if (std::find(noted_.begin(), noted_.end(), e) != noted_.end()) return;
    noted_.push_back(e);
    memory_.confirm(memory_.add(entry_of(e)), frame_.input.time, frame_);
}

void OwnMonitor::reboot(Time, bool) {
    if (again_) step_ = again_();
    answer_ = {};
}

MonitorFunction as_function(Monitor monitor) {
    return [own = std::move(monitor)](const control::Input& in, const control::Command& last) mutable {
        MonitorAnswer answer{.reaction = own.step(in, last)};
        for (const TroubleCode& code : own.codes()) answer.codes.push_back(code.text());
        control::Input told = in;
        own.order(told);
        answer.pedal_trust = told.pedal_trust, answer.throttle_trust = told.throttle_trust;
        return answer;
    };
}

}  // namespace twintrack::monitor
