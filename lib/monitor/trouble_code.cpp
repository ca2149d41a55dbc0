// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/trouble_code.hpp"

#include <array>

namespace twintrack::monitor {

namespace {

struct Text {
    const char* code;
    const char* meaning;
};

/// What the standard lists of one sensor.
struct Sensor {
    Text low, high, performance, stop;
};

constexpr std::array<std::array<Sensor, 3>, 2> sensors = {{
    {{{{"P2122", "throttle/pedal position sensor D circuit low"},
       {"P2123", "throttle/pedal position sensor D circuit high"},
       {"P2121", "throttle/pedal position sensor D circuit range/performance"},
       {"P2115", "throttle/pedal position sensor D minimum stop performance"}},
      {{"P2127", "throttle/pedal position sensor E circuit low"},
       {"P2128", "throttle/pedal position sensor E circuit high"},
       {"P2126", "throttle/pedal position sensor E circuit range/performance"},
       {"P2116", "throttle/pedal position sensor E minimum stop performance"}},
      {{"P2132", "throttle/pedal position sensor F circuit low"},
       {"P2133", "throttle/pedal position sensor F circuit high"},
       {"P2131", "throttle/pedal position sensor F circuit range/performance"},
       {"P2117", "throttle/pedal position sensor F minimum stop performance"}}}},
    {{{{"P0122", "throttle/pedal position sensor A circuit low"},
       {"P0123", "throttle/pedal position sensor A circuit high"},
       {"P0121", "throttle/pedal position sensor A circuit range/performance"},
       {"P2109", "throttle/pedal position sensor A minimum stop performance"}},
      {{"P0222", "throttle/pedal position sensor B circuit low"},
       {"P0223", "throttle/pedal position sensor B circuit high"},
       {"P0221", "throttle/pedal position sensor B circuit range/performance"},
       {"P2113", "throttle/pedal position sensor B minimum stop performance"}},
      {{"P0227", "throttle/pedal position sensor C circuit low"},
       {"P0228", "throttle/pedal position sensor C circuit high"},
       {"P0226", "throttle/pedal position sensor C circuit range/performance"},
       {"P2114", "throttle/pedal position sensor C minimum stop performance"}}}},
}};

/// Of the first track, and so of the whole assembly.
constexpr std::array<Text, 2> circuits = {
    {{"P2120", "throttle/pedal position sensor D circuit"}, {"P0120", "throttle/pedal position sensor A circuit"}}};

/// Of the pairs 1–2, 1–3, 2–3.
constexpr std::array<std::array<Text, 3>, 2> pairs = {{
    {{{"P2138", "throttle/pedal position sensor D/E voltage correlation"},
      {"P2139", "throttle/pedal position sensor D/F voltage correlation"},
      {"P2140", "throttle/pedal position sensor E/F voltage correlation"}}},
    {{{"P2135", "throttle/pedal position sensor A/B voltage correlation"},
      {"P2136", "throttle/pedal position sensor A/C voltage correlation"},
      {"P2137", "throttle/pedal position sensor B/C voltage correlation"}}},
}};

const Sensor& sensor(Assembly a, std::size_t track) { return sensors.at(static_cast<std::size_t>(a)).at(track); }

TroubleCode of(const Text& text, const char* type) { return {text.code, type, text.meaning, {}}; }

}  // namespace

TroubleCode rate_impossible(Assembly a, std::size_t track) { return of(sensor(a, track).performance, "27"); }

TroubleCode track_stuck(Assembly a, std::size_t track) { return of(sensor(a, track).performance, "26"); }

TroubleCode track_outvoted(Assembly a, std::size_t track) { return of(sensor(a, track).performance, "62"); }

TroubleCode stop_drifted(Assembly a, std::size_t track) { return of(sensor(a, track).stop, "28"); }

TroubleCode range_low(Assembly a, std::size_t track) { return of(sensor(a, track).low, "16"); }

TroubleCode range_high(Assembly a, std::size_t track) { return of(sensor(a, track).high, "17"); }

TroubleCode correlation(Assembly a, std::size_t first, std::size_t second) {
    (void)sensor(a, second);  // there is no fourth
    return of(pairs.at(static_cast<std::size_t>(a)).at(first + second - 1), "62");
}

TroubleCode blind(Assembly a) { return of(circuits.at(static_cast<std::size_t>(a)), "29"); }

TroubleCode deviation() { return {"P2101", "77", "throttle actuator control motor circuit range/performance", {}}; }

TroubleCode not_learned() { return {"P2176", "54", "throttle actuator control system idle position not learned", {}}; }

TroubleCode memory_damaged() { return {"P0603", "41", "internal control module keep alive memory", {}}; }

TroubleCode memory_foreign() { return {"P0602", "56", "control module programming", {}}; }

TroubleCode default_wrong() { return {"P2119", "75", "throttle actuator control throttle body range/performance", {}}; }

TroubleCode no_twitch() { return {"P2112", "73", "throttle actuator control system stuck closed", {}}; }

TroubleCode not_closing() { return {"P2111", "77", "throttle actuator control system stuck open", {}}; }

TroubleCode motor_open() { return {"P2100", "13", "throttle actuator control motor circuit open", {}}; }

TroubleCode motor_overload() {
    return {"P2118", "19", "throttle actuator control motor current range/performance", {}};
}

TroubleCode motor_stalled() { return {"P2101", "71", "throttle actuator control motor circuit range/performance", {}}; }

TroubleCode motor_against() { return {"P2101", "64", "throttle actuator control motor circuit range/performance", {}}; }

TroubleCode motor_to_ground() { return {"P2102", "11", "throttle actuator control motor circuit low", {}}; }

TroubleCode motor_to_battery() { return {"P2103", "12", "throttle actuator control motor circuit high", {}}; }

TroubleCode motor_shorted() { return {"P2118", "1A", "throttle actuator control motor current range/performance", {}}; }

TroubleCode motor_hot() { return {"P2118", "4B", "throttle actuator control motor current range/performance", {}}; }

TroubleCode supply_lost() { return {"P0560", "16", "system voltage", {}}; }

TroubleCode supply_unstable() { return {"P0561", "2F", "system voltage unstable", {}}; }

TroubleCode forced_mode(Reaction reaction) {
    constexpr std::array<Text, 4> modes = {{{"P2106", "throttle actuator control system forced limited power"},
                                            {"P2104", "throttle actuator control system forced idle"},
                                            {"P2110", "throttle actuator control system forced limited RPM"},
                                            {"P2105", "throttle actuator control system forced engine shutdown"}}};
    return of(modes.at(static_cast<std::size_t>(reaction) - 1), "00");
}

TroubleCode supply_low() { return {"P0562", "16", "system voltage low", {}}; }

TroubleCode supply_high() { return {"P0563", "17", "system voltage high", {}}; }

TroubleCode reference_low(Assembly a) {
    if (a == Assembly::pedal) return {"P0642", "16", "sensor reference voltage A low", {}};
    return {"P0652", "16", "sensor reference voltage B low", {}};
}

TroubleCode reference_high(Assembly a) {
    if (a == Assembly::pedal) return {"P0643", "17", "sensor reference voltage A high", {}};
    return {"P0653", "17", "sensor reference voltage B high", {}};
}

TroubleCode brake_and_pedal() {
    return {"P2299", "64", "brake pedal position/accelerator pedal position incompatible", {}};
}

TroubleCode brake_low() { return {"P0572", "16", "brake switch A circuit low", {}}; }

TroubleCode brake_high() { return {"P0573", "17", "brake switch A circuit high", {}}; }

TroubleCode idle_switch() { return {"P0510", "64", "closed throttle position switch", {}}; }

TroubleCode high_air_flow() { return {"P2173", "64", "throttle actuator control system high airflow detected", {}}; }

TroubleCode idle_system() { return {"P0505", "92", "idle air control system", {}}; }

TroubleCode idle_low() { return {"P0506", "92", "idle air control system rpm lower than expected", {}}; }

TroubleCode idle_high() { return {"P0507", "92", "idle air control system rpm higher than expected", {}}; }

TroubleCode no_return() { return {"P2111", "72", "throttle actuator control system stuck open", {}}; }

}  // namespace twintrack::monitor
