// SPDX-License-Identifier: BSD-3-Clause
// Codes by their text, for monitors of one's own.
#include <map>
#include <mutex>

#include "twintrack/core/error.hpp"
#include "twintrack/monitor/unit.hpp"

namespace twintrack::monitor {

namespace {

/// Every code that the built-in monitor can set.
std::vector<TroubleCode> built_in_codes() {
    std::vector<TroubleCode> all = {
        deviation(),       not_learned(),      memory_damaged(),  memory_foreign(), default_wrong(), no_twitch(),
        no_return(),       not_closing(),      motor_open(),      motor_overload(), motor_stalled(), motor_against(),
        motor_to_ground(), motor_to_battery(), motor_shorted(),   motor_hot(),      supply_lost(),   supply_unstable(),
        supply_low(),      supply_high(),      brake_and_pedal(), brake_low(),      brake_high(),    idle_switch(),
        high_air_flow(),   idle_system(),      idle_low(),        idle_high()};
    for (const Assembly a : {Assembly::pedal, Assembly::throttle}) {
        all.insert(all.end(), {blind(a), reference_low(a), reference_high(a)});
        for (std::size_t k = 0; k < sensing::max_tracks; ++k) {
            all.insert(all.end(), {range_low(a, k), range_high(a, k), rate_impossible(a, k), track_stuck(a, k),
                                   track_outvoted(a, k), stop_drifted(a, k)});
            for (std::size_t j = 0; j < k; ++j) all.push_back(correlation(a, j, k));
        }
    }
    return all;
}

/// Trouble codes are views of constants, and outlive who set them: a text of the user's is kept for good, once.
struct Texts {
    std::mutex guard;
    std::map<std::string, TroubleCode> known;

    Texts() {
        for (const TroubleCode& code : built_in_codes()) known.emplace(code.text(), code);
    }
};

}  // namespace

TroubleCode code_of(const std::string& text) {
    static Texts texts;
    const std::lock_guard lock(texts.guard);
    if (const auto found = texts.known.find(text); found != texts.known.end()) return found->second;
    if (texts.known.size() >= most_texts)
        throw InvalidParameter("codes", "more than " + std::to_string(most_texts) + " different codes were set");
    const auto [place, added] = texts.known.emplace(text, TroubleCode{});
    const std::string_view whole = place->first;
    const std::size_t dash = whole.find('-');
    const bool typed = dash != std::string_view::npos && dash + 3 == whole.size();
    place->second = {typed ? whole.substr(0, dash) : whole,
                     typed ? whole.substr(dash + 1) : std::string_view{},
                     "set by a monitor of one's own",
                     {}};
    return place->second;
}

}  // namespace twintrack::monitor
