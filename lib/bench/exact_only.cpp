// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>

#include "twintrack/bench/electronics.hpp"

namespace twintrack::bench {

namespace {

/// What a short to the battery at a sensor's return can take off the supply [V]; the wire's resistance limits it.
constexpr double sag = 4.0;

bool of_motor(const std::string& place) { return place.starts_with("motor"); }
bool of_feed(const std::string& place) { return place == "controller supply" || place == "controller ground"; }

double lowest_of_profile(const std::string& name, double least) {
    for (const fault::SupplyProfile& profile : fault::supply_profiles())
        if (name == profile.name)
            for (const auto& point : profile.points) least = std::min(least, point.imposed.volts);
    return least;
}

/// [V] that is left at the controller's supply pin at worst.
double lowest_supply(const BenchParameters& p, const std::vector<fault::Fault>& faults) {
    double scale = 1.0, imposed = p.supply, lifted = 0.0;
    bool wiring = false;
    for (const fault::Fault& f : faults) {
        if (f.where == "supply" && f.what == "scale") scale = std::min(scale, f.amount);
        if (f.where == "supply" && f.what != "scale") imposed = lowest_of_profile(f.what, imposed);
        if (f.what == "ground_offset") lifted = std::max(lifted, f.amount);
        wiring = wiring || f.what == "short_to_battery";
    }
    const double wires = p.wiring.kind == WiringKind::ideal
                             ? 0.0
                             : resistance(p.wiring.harness.supply_wire) + resistance(p.wiring.harness.ground_wire);
    const double drop = 1.05 * p.bridge.current_limit * (p.bridge.supply_resistance + wires) + (wiring ? sag : 0.0);
    return std::min(scale * p.supply, imposed) - drop - lifted;
}

bool motor_is_elsewhere(const wiring::PinOut& pins) {
    if (pins.empty()) return false;
    int own = 0;
    for (const wiring::Joint& j : pins) {
        if (of_motor(j.terminal) != of_motor(j.pin)) return true;
        own += of_motor(j.terminal) ? 1 : 0;
    }
    return own != 2;
}

}  // namespace

std::optional<ExactOnly> exact_only(const BenchParameters& p, const std::vector<fault::Fault>& faults,
                                    double duration) {
    if (p.body.thermal) return ExactOnly{"bench.body.thermal", "a motor that warms up needs the exact solver"};
    if (p.guard.enabled) {
        if (p.guard.trip_current <= 1.1 * p.bridge.current_limit ||
            plant::hottest_junction(p.guard, p.bridge) >= p.guard.derate_from)
            return ExactOnly{"bench.guard", "a bridge that may protect itself from its motor needs the exact solver"};
        if (motor_is_elsewhere(p.wiring.pin_out))
            return ExactOnly{"bench.wiring.pin_out", "motor leads at other pins need the exact solver"};
    }
    if (!p.guard.enabled && !p.power.enabled) return {};
    for (const fault::Fault& f : faults)
        if (of_motor(f.with) || (of_motor(f.where) && f.what != "heat") ||
            (of_feed(f.where) && f.what != "ground_offset"))
            return ExactOnly{"faults",
                             "faults of the motor's leads and of the controller's supply need the exact solver"};
    const double guard = p.guard.enabled ? p.guard.undervoltage_release : 0.0;
    const double power = p.power.enabled ? std::max(p.power.release_voltage, p.reference + p.power.drop_out) : 0.0;
    if (lowest_supply(p, faults) < std::max(guard, power))
        return ExactOnly{"faults", "a supply that may let controller or bridge down needs the exact solver"};
    if (p.power.enabled && p.engine && p.engine->course.key_off.value_or(duration) + p.power.after_run < duration)
        return ExactOnly{"bench.power.after_run", "a controller that goes to sleep needs the exact solver"};
    return {};
}

}  // namespace twintrack::bench
