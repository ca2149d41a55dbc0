// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/trouble_code.hpp"

#include <array>

namespace twintrack::monitor {

namespace {

/// What the standard lists of one sensor: its letter, "circuit low", "circuit high", "circuit range/performance",
/// "minimum stop performance".
struct Sensor {
    const char* letter;
    const char* low;
    const char* high;
    const char* performance;
    const char* stop;
};

constexpr std::array<std::array<Sensor, 3>, 2> sensors = {{
    {{{"D", "P2122", "P2123", "P2121", "P2115"},
      {"E", "P2127", "P2128", "P2126", "P2116"},
      {"F", "P2132", "P2133", "P2131", "P2117"}}},
    {{{"A", "P0122", "P0123", "P0121", "P2109"},
      {"B", "P0222", "P0223", "P0221", "P2113"},
      {"C", "P0227", "P0228", "P0226", "P2114"}}},
}};

/// Of the pairs 1–2, 1–3, 2–3.
constexpr std::array<std::array<const char*, 3>, 2> correlations = {{
    {{"P2138", "P2139", "P2140"}},
    {{"P2135", "P2136", "P2137"}},
}};

const Sensor& sensor(Assembly a, std::size_t track) { return sensors.at(static_cast<std::size_t>(a)).at(track); }

std::string position_sensor(const std::string& letters) { return "throttle/pedal position sensor " + letters; }

TroubleCode performance(Assembly a, std::size_t track, const char* type) {
    const Sensor& s = sensor(a, track);
    return {s.performance, type, position_sensor(s.letter) + " circuit range/performance", {}};
}

const std::string actuator = "throttle actuator control ";

}  // namespace

TroubleCode rate_impossible(Assembly a, std::size_t track) { return performance(a, track, "27"); }

TroubleCode track_stuck(Assembly a, std::size_t track) { return performance(a, track, "26"); }

TroubleCode track_outvoted(Assembly a, std::size_t track) { return performance(a, track, "62"); }

TroubleCode stop_drifted(Assembly a, std::size_t track) {
    const Sensor& s = sensor(a, track);
    return {s.stop, "28", position_sensor(s.letter) + " minimum stop performance", {}};
}

TroubleCode range_low(Assembly a, std::size_t track) {
    const Sensor& s = sensor(a, track);
    return {s.low, "16", position_sensor(s.letter) + " circuit low", {}};
}

TroubleCode range_high(Assembly a, std::size_t track) {
    const Sensor& s = sensor(a, track);
    return {s.high, "17", position_sensor(s.letter) + " circuit high", {}};
}

TroubleCode correlation(Assembly a, std::size_t first, std::size_t second) {
    const std::string letters = std::string(sensor(a, first).letter) + "/" + sensor(a, second).letter;
    return {correlations.at(static_cast<std::size_t>(a)).at(first + second - 1),
            "62",
            position_sensor(letters) + " voltage correlation",
            {}};
}

TroubleCode blind(Assembly a) {
    const Sensor& s = sensor(a, 0);
    return {a == Assembly::pedal ? "P2120" : "P0120", "29", position_sensor(s.letter) + " circuit", {}};
}

TroubleCode deviation() { return {"P2101", "77", "throttle actuator control motor circuit range/performance", {}}; }

TroubleCode not_learned() { return {"P2176", "54", "throttle actuator control system idle position not learned", {}}; }

TroubleCode memory_damaged() { return {"P0603", "41", "internal control module keep alive memory", {}}; }

TroubleCode memory_foreign() { return {"P0602", "56", "control module programming", {}}; }

TroubleCode default_wrong() { return {"P2119", "75", "throttle actuator control throttle body range/performance", {}}; }

TroubleCode no_twitch() { return {"P2112", "73", "throttle actuator control system stuck closed", {}}; }

TroubleCode not_closing() { return {"P2111", "77", actuator + "system stuck open", {}}; }

TroubleCode motor_open() { return {"P2100", "13", actuator + "motor circuit open", {}}; }

TroubleCode motor_overload() { return {"P2118", "19", actuator + "motor current range/performance", {}}; }

TroubleCode motor_stalled() { return {"P2101", "71", actuator + "motor circuit range/performance", {}}; }

TroubleCode motor_against() { return {"P2101", "64", actuator + "motor circuit range/performance", {}}; }

TroubleCode supply_low() { return {"P0562", "16", "system voltage low", {}}; }

TroubleCode supply_high() { return {"P0563", "17", "system voltage high", {}}; }

TroubleCode reference_low(Assembly a) {
    const bool pedal = a == Assembly::pedal;
    return {
        pedal ? "P0642" : "P0652", "16", std::string("sensor reference voltage ") + (pedal ? "A" : "B") + " low", {}};
}

TroubleCode reference_high(Assembly a) {
    const bool pedal = a == Assembly::pedal;
    return {
        pedal ? "P0643" : "P0653", "17", std::string("sensor reference voltage ") + (pedal ? "A" : "B") + " high", {}};
}

TroubleCode brake_and_pedal() {
    return {"P2299", "64", "brake pedal position/accelerator pedal position incompatible", {}};
}

TroubleCode brake_low() { return {"P0572", "16", "brake switch A circuit low", {}}; }

TroubleCode brake_high() { return {"P0573", "17", "brake switch A circuit high", {}}; }

TroubleCode high_air_flow() { return {"P2173", "64", actuator + "system high airflow detected", {}}; }

TroubleCode idle_system() { return {"P0505", "92", "idle air control system", {}}; }

TroubleCode idle_low() { return {"P0506", "92", "idle air control system rpm lower than expected", {}}; }

TroubleCode idle_high() { return {"P0507", "92", "idle air control system rpm higher than expected", {}}; }

TroubleCode no_return() { return {"P2111", "72", "throttle actuator control system stuck open", {}}; }

}  // namespace twintrack::monitor
