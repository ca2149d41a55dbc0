// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <vector>

#include "twintrack/core/record.hpp"

/// The signals of a record, each stated once: name, unit, value. Session and lanes fill their records by these tables;
/// `S` is what holds the values at a tick in either, with the methods named here (shares of travel or volts, SI).
namespace twintrack::bench {

template <class S>
struct SignalOf {
    const char* name;
    const char* unit;
    double (*value)(const S&);
};

/// From pedal to blade, in every record and in this order.
template <class S>
inline constexpr std::array<SignalOf<S>, 21> chain_signals{{
    {"pedal.travel", "", [](const S& s) { return s.pedal_travel(); }},
    {"pedal.track1", "V", [](const S& s) { return s.pedal_volts(0); }},
    {"pedal.track2", "V", [](const S& s) { return s.pedal_volts(1); }},
    {"pedal.track3", "V", [](const S& s) { return s.pedal_volts(2); }},
    {"asked", "", [](const S& s) { return s.asked(); }},
    {"demand", "", [](const S& s) { return s.demand(); }},
    {"set_point", "", [](const S& s) { return s.set_point(); }},
    {"opening", "", [](const S& s) { return s.opening(); }},
    {"blade.opening", "", [](const S& s) { return s.blade_opening(); }},
    {"blade.angle", "rad", [](const S& s) { return s.blade_angle(); }},
    {"blade.speed", "rad/s", [](const S& s) { return s.blade_speed(); }},
    {"throttle.track1", "V", [](const S& s) { return s.throttle_volts(0); }},
    {"throttle.track2", "V", [](const S& s) { return s.throttle_volts(1); }},
    {"throttle.track3", "V", [](const S& s) { return s.throttle_volts(2); }},
    {"duty", "", [](const S& s) { return s.duty(); }},
    {"motor.current", "A", [](const S& s) { return s.motor_current(); }},
    {"motor.voltage", "V", [](const S& s) { return s.motor_voltage(); }},
    {"supply", "V", [](const S& s) { return s.supply(); }},
    {"reaction", "", [](const S& s) { return s.reaction(); }},
    {"controller.awake", "", [](const S& s) { return s.awake(); }},
    {"bridge.state", "", [](const S& s) { return s.bridge_state(); }},
}};

/// Of a bench with an engine.
template <class S>
inline constexpr std::array<SignalOf<S>, 13> engine_signals{{
    {"engine.speed", "rad/s", [](const S& s) { return s.speed(); }},
    {"engine.idle_set_point", "rad/s", [](const S& s) { return s.set_point(); }},
    {"engine.fuel", "", [](const S& s) { return s.fuel(); }},
    {"engine.spark", "", [](const S& s) { return s.spark(); }},
    {"engine.spark_retard", "rad", [](const S& s) { return s.spark_retard(); }},
    {"engine.manifold_pressure", "Pa", [](const S& s) { return s.manifold_pressure(); }},
    {"engine.air_flow", "kg/s", [](const S& s) { return s.air_flow(); }},
    {"engine.status", "", [](const S& s) { return s.status(); }},
    {"idle.opening", "", [](const S& s) { return s.idle_opening(); }},
    {"idle.area", "m^2", [](const S& s) { return s.idle_area(); }},
    {"idle.authority", "", [](const S& s) { return s.authority(); }},
    {"idle.mode", "", [](const S& s) { return s.mode(); }},
    {"engine.lambda", "", [](const S& s) { return s.lambda(); }},
}};

/// Names and units of a table.
template <class Table>
[[nodiscard]] std::vector<Signal> names_of(const Table& table) {
    std::vector<Signal> all;
    for (const auto& signal : table) all.push_back({signal.name, signal.unit});
    return all;
}

/// Adds the values of a table at a tick to `row`.
template <class Table, class S>
void append_values(const Table& table, const S& source, std::vector<double>& row) {
    for (const auto& signal : table) row.push_back(signal.value(source));
}

}  // namespace twintrack::bench
