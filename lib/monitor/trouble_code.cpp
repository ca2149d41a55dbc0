// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/trouble_code.hpp"

#include <array>

namespace twintrack::monitor {

namespace {

/// What the standard lists of one sensor: its letter, "circuit low", "circuit high".
struct Sensor {
    const char* letter;
    const char* low;
    const char* high;
};

constexpr std::array<std::array<Sensor, 3>, 2> sensors = {{
    {{{"D", "P2122", "P2123"}, {"E", "P2127", "P2128"}, {"F", "P2132", "P2133"}}},
    {{{"A", "P0122", "P0123"}, {"B", "P0222", "P0223"}, {"C", "P0227", "P0228"}}},
}};

/// Of the pairs 1–2, 1–3, 2–3.
constexpr std::array<std::array<const char*, 3>, 2> correlations = {{
    {{"P2138", "P2139", "P2140"}},
    {{"P2135", "P2136", "P2137"}},
}};

const Sensor& sensor(Assembly a, std::size_t track) { return sensors.at(static_cast<std::size_t>(a)).at(track); }

std::string position_sensor(const std::string& letters) { return "throttle/pedal position sensor " + letters; }

}  // namespace

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

TroubleCode deviation() { return {"P2101", "77", "throttle actuator control motor circuit range/performance", {}}; }

TroubleCode not_learned() { return {"P2176", "54", "throttle actuator control system idle position not learned", {}}; }

TroubleCode memory_damaged() { return {"P0603", "41", "internal control module keep alive memory", {}}; }

TroubleCode memory_foreign() { return {"P0602", "56", "control module programming", {}}; }

TroubleCode default_wrong() { return {"P2119", "75", "throttle actuator control throttle body range/performance", {}}; }

TroubleCode no_twitch() { return {"P2112", "73", "throttle actuator control system stuck closed", {}}; }

TroubleCode no_return() { return {"P2111", "72", "throttle actuator control system stuck open", {}}; }

}  // namespace twintrack::monitor
