// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/faulted_body.hpp"

#include "twintrack/core/error.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack::bench {

double battery_voltage(double supply, const fault::Effects& e) noexcept {
    return (1.0 - e.battery.share) * supply * e.supply + e.battery.share * e.battery.volts;
}

Stops shifted_stops(const plant::BodyMechanics& body, const fault::Effects& e) noexcept {
    constexpr double least_travel = 0.05;  // [rad]
    const double closed = body.stops.closed_angle + e.closed_stop;
    return {closed, max(body.stops.open_angle + e.open_stop, closed + least_travel)};
}

Stops held_back(const Stops& wanted, const Stops& before, double angle) noexcept {
    Stops now = wanted;
    if (wanted.closed > before.closed) now.closed = clamp(angle, before.closed, wanted.closed);
    if (wanted.open < before.open) now.open = clamp(angle, wanted.open, before.open);
    return now;
}

plant::BodyMechanics faulted_mechanics(plant::BodyMechanics body, const fault::Effects& e, const Stops& stops) {
    body.springs.open_preload *= e.return_spring;
    body.springs.open_rate *= e.return_spring;
    body.springs.close_preload *= e.opener_spring;
    body.springs.close_rate *= e.opener_spring;
    body.friction.coulomb *= e.friction;
    body.friction.breakaway *= e.friction;
    body.friction.viscous *= e.friction;
    body.motor.temperature = clamp(body.motor.temperature + e.heat, -60.0, 250.0);
    body.stops.closed_angle = stops.closed;
    body.stops.open_angle = stops.open;
    return body;
}

void check_faults(const std::vector<fault::Fault>& faults, bool engine, bool idle_switch) {
    for (std::size_t i = 0; i < faults.size(); ++i) {
        const std::string where = "faults[" + std::to_string(i + 1) + "].where";
        if (!engine && faults[i].where == "manifold")
            throw InvalidParameter(where,
                                   "a manifold can leak only on a bench with an engine; name one (small-four, …)");
        if (!idle_switch && faults[i].where == "pedal.idle_switch")
            throw InvalidParameter(where, "the pedal has no idle switch; set pedal.idle_switch.fitted");
    }
}

bool same_mechanics(const fault::Effects& a, const fault::Effects& b) noexcept {
    return a.return_spring == b.return_spring && a.opener_spring == b.opener_spring && a.friction == b.friction &&
           a.heat == b.heat;
}

}  // namespace twintrack::bench
