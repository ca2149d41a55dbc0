// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/plant/bridge_guard.hpp"

#include <algorithm>

#include "twintrack/core/error.hpp"

namespace twintrack::plant {

namespace {

constexpr double least_share = 1e-6;  // of a period, in which a switch can carry anything

void order(double low, double high, const char* low_name, const char* high_name, const char* unit,
           const std::string& path) {
    if (low < high) return;
    throw InvalidParameter((path.empty() ? "" : path + ".") + high_name,
                           std::string("must lie above ") + low_name + " (" + std::to_string(low) + " " + unit +
                               "); got " + std::to_string(high) + " " + unit);
}

/// The motor's current as the legs carry it, whichever way its leads are.
double carried(const LegCurrents& i) noexcept {
    const double as_named = abs(i.plus - i.motor) + abs(i.minus + i.motor);
    const double exchanged = abs(i.plus + i.motor) + abs(i.minus - i.motor);
    return as_named <= exchanged ? i.motor : -i.motor;
}

/// Largest current [A] in the switches of a leg; `excess` [A] out of the pin beyond the motor's current.
double peak(double excess, double share, double current) noexcept {
    const double time = excess > 0.0 ? share : 1.0 - share;
    return abs(current) + (time > least_share ? abs(excess) / time : 0.0);
}

}  // namespace

void check(const BridgeGuardParameters& p, const std::string& path) {
    order(p.undervoltage, p.undervoltage_release, "undervoltage", "undervoltage_release", "V", path);
    order(p.derate_from, p.shut_down, "derate_from", "shut_down", "degC", path);
}

BridgeFault over_current(const LegCurrents& i, double duty, double trip) noexcept {
    const double motor = carried(i), plus = i.plus - motor, minus = i.minus + motor, lost = plus + minus;
    if (max(peak(plus, max(duty, 0.0), i.motor), peak(minus, max(-duty, 0.0), i.motor)) <= trip)
        return BridgeFault::none;
    if (abs(lost) < 0.5 * max(abs(plus), abs(minus))) return BridgeFault::short_across;
    return lost > 0.0 ? BridgeFault::short_to_ground : BridgeFault::short_to_battery;
}

BridgeGuard::BridgeGuard(const BridgeGuardParameters& p, const BridgeParameters& bridge, Time period) noexcept
    : p_(p), resistance_(2.0 * bridge.switch_resistance), period_(period), junction_(p.ambient) {}

void BridgeGuard::tick(double volts, double current, bool closed) noexcept {
    if (!p_.enabled) return;
    locked_ = volts < (locked_ ? p_.undervoltage_release : p_.undervoltage);
    const double heat = closed ? resistance_ * current * current : 0.0;
    junction_ += seconds(period_) * (heat - (junction_ - p_.ambient) / p_.junction_resistance) / p_.junction_capacity;
    hot_ = junction_ >= (hot_ ? p_.derate_from : p_.shut_down);
    waiting_ = std::max(waiting_ - period_, Time{0});
    if (fault_ == BridgeFault::none) return;
    const bool stays_open = trips_ > p_.retries;
    good_ = stays_open || waiting_ > Time{0} ? Time{0} : good_ + period_;
    if (good_ < from_seconds(forget_time)) return;
    fault_ = BridgeFault::none;
    trips_ = 0;
}

bool BridgeGuard::trips(const LegCurrents& i, double duty) noexcept {
    if (!p_.enabled) return false;
    const BridgeFault found = over_current(i, duty, p_.trip_current);
    const double lost = i.plus + i.minus;
    if (found == BridgeFault::none && abs(lost) <= p_.difference) return false;
    good_ = Time{0};
    fault_ = found != BridgeFault::none ? found
             : lost > 0.0               ? BridgeFault::short_to_ground
                                        : BridgeFault::short_to_battery;
    if (found == BridgeFault::none) return false;
    ++trips_;
    waiting_ = from_seconds(p_.retry_time);
    return true;
}

void BridgeGuard::off_state(BridgeFault found) noexcept {
    if (!p_.enabled || found == BridgeFault::none) return;
    fault_ = found;
    good_ = Time{0};
}

void BridgeGuard::reset() noexcept {
    locked_ = false;
    trips_ = 0;
    waiting_ = good_ = Time{0};
    fault_ = BridgeFault::none;
}

BridgeState BridgeGuard::state() const noexcept {
    if (locked_) return BridgeState::undervoltage;
    if (waiting_ > Time{0} || trips_ > p_.retries) return BridgeState::tripped;
    return hot_ ? BridgeState::hot : BridgeState::ready;
}

double BridgeGuard::share() const noexcept {
    return clamp((p_.shut_down - junction_) / (p_.shut_down - p_.derate_from), 0.0, 1.0);
}

double hottest_junction(const BridgeGuardParameters& p, const BridgeParameters& bridge) noexcept {
    const double current = 1.05 * bridge.current_limit;
    return p.ambient + 2.0 * bridge.switch_resistance * current * current * p.junction_resistance;
}

}  // namespace twintrack::plant
