// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/learn_disturbance.hpp"

#include <algorithm>

#include "foot.hpp"
#include "twintrack/core/described.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::bench {

namespace {

using Places = std::vector<std::string>;

struct Entry {
    LearnDisturbanceKind kind;
    void (*apply)(LearnPlan& plan, double amount, const std::string& where);
};

/// A fault present from the start.
void add(LearnPlan& plan, const std::string& where, const std::string& what, double amount, Time from = {},
         Time ramp = {}) {
    plan.faults.push_back({.where = where, .what = what, .from = from, .to = {}, .amount = amount, .ramp = ramp});
}

void exchange(LearnPlan& plan, const std::string& terminal, const std::string& other) {
    plan.faults.push_back({.where = terminal, .what = "exchange", .with = other});
}

void earliest(std::optional<Time>& instant, double seconds) {
    instant = std::min(instant.value_or(Time::max()), from_seconds(seconds));
}

void add_foot(std::vector<Entry>& all) {
    all.push_back(
        {{"pressed_short", "", 0.0, 1.0, 0.6, {}, "both presses reach only this share of the travel", {0.9, 0.6, 0.4}},
         [](LearnPlan& p, double a, const auto&) { p.stroke = foot::shortened(p.stroke, a); }});
    all.push_back({{"pressed_once", "", 0.0, 0.0, 0.0, {}, "the second press is left out"},
                   [](LearnPlan& p, double, const auto&) { p.stroke = foot::pressed_once(p.stroke); }});
    all.push_back(
        {{"not_released", "", 0.0, 1.0, 0.3, {}, "after the first press the foot stays at this share", {0.05, 0.3}},
         [](LearnPlan& p, double a, const auto&) { p.stroke = foot::not_released(p.stroke, a); }});
    all.push_back({{"floor_mat",
                    "",
                    0.0,
                    1.0,
                    0.85,
                    {},
                    "a mat under the pedal ends its travel at this share",
                    {0.95, 0.85, 0.6}},
                   [](LearnPlan& p, double a, const auto&) { p.stroke = foot::blocked(p.stroke, a); }});
    all.push_back({{"foot_resting",
                    "",
                    0.0,
                    0.9,
                    0.1,
                    {},
                    "the foot rests on the pedal all the time, at this share",
                    {0.02, 0.1, 0.3}},
                   [](LearnPlan& p, double a, const auto&) { p.stroke = foot::resting(p.stroke, a); }});
    all.push_back(
        {{"lifted_late", "", 0.0, 0.9, 0.1, {}, "the foot rests at this share until the first press", {0.02, 0.1, 0.3}},
         [](LearnPlan& p, double a, const auto&) { p.stroke = foot::lifted_late(p.stroke, a); }});
}

void add_blade(std::vector<Entry>& all) {
    all.push_back({{"deposits",
                    "rad",
                    0.0,
                    0.3,
                    0.03,
                    {},
                    "deposits or ice hold the blade off its closed stop",
                    {0.01, 0.03, 0.1},
                    true},
                   [](LearnPlan& p, double a, const auto&) { add(p, "body.closed_stop", "shift", a); }});
    all.push_back({{"blocked_short",
                    "rad",
                    0.0,
                    1.0,
                    0.2,
                    {},
                    "something stops the blade short of its open stop",
                    {0.05, 0.2, 0.6},
                    true},
                   [](LearnPlan& p, double a, const auto&) { add(p, "body.open_stop", "shift", -a); }});
    all.push_back({{"sticky_blade",
                    "",
                    1.0,
                    20.0,
                    2.5,
                    {},
                    "factor on the friction at the blade shaft",
                    {1.5, 2.0, 2.5, 5.0},
                    true},
                   [](LearnPlan& p, double a, const auto&) { add(p, "body.friction", "scale", a); }});
    all.push_back(
        {{"weak_return", "", 0.0, 1.0, 0.5, {}, "factor on the return spring; 0 is broken", {0.7, 0.5, 0.0}, true},
         [](LearnPlan& p, double a, const auto&) { add(p, "body.return_spring", "scale", a); }});
    all.push_back({{"winding_heat",
                    "K",
                    -80.0,
                    160.0,
                    100.0,
                    {},
                    "the motor's winding is so much hotter (or colder)",
                    {-60.0, 60.0, 120.0},
                    true},
                   [](LearnPlan& p, double a, const auto&) { add(p, "motor", "heat", a); }});
}

void add_wiring(std::vector<Entry>& all) {
    const Places tracks = {"pedal.track1",    "pedal.track2",    "pedal.track3",
                           "throttle.track1", "throttle.track2", "throttle.track3"};
    all.push_back({{"low_supply", "", 0.0, 1.0, 0.7, {}, "factor on the supply voltage", {0.9, 0.7, 0.5}, true},
                   [](LearnPlan& p, double a, const auto&) { add(p, "supply", "scale", a); }});
    all.push_back(
        {{"sagging_supply", "", 0.0, 1.0, 0.6, {}, "the supply sinks to this factor from 1 s to 6 s", {0.9, 0.6, 0.4}},
         [](LearnPlan& p, double a, const auto&) {
             add(p, "supply", "scale", a, milliseconds(1000), milliseconds(5000));
         }});
    all.push_back({{"noisy_track",
                    "",
                    0.0,
                    0.5,
                    0.005,
                    tracks,
                    "added rms noise, share of the track's supply",
                    {0.001, 0.005, 0.02},
                    true},
                   [](LearnPlan& p, double a, const std::string& w) { add(p, w, "noise", a); }});
    all.push_back({{"tracks_exchanged",
                    "",
                    0.0,
                    0.0,
                    0.0,
                    {"pedal", "throttle"},
                    "signals of tracks 1 and 2 exchanged",
                    {},
                    true},
                   [](LearnPlan& p, double, const std::string& w) { exchange(p, w + " signal 1", w + " signal 2"); }});
    all.push_back({{"leads_reversed", "", 0.0, 0.0, 0.0, {}, "the motor's leads are exchanged", {}, true},
                   [](LearnPlan& p, double, const auto&) { exchange(p, "motor +", "motor -"); }});
    all.push_back({{"key_turned_off", "s", 0.0, 1e4, 3.0, {}, "the key is turned off at this time", {3.0, 10.0}},
                   [](LearnPlan& p, double a, const auto&) { earliest(p.key_off, a); }});
    all.push_back({{"engine_turns", "s", 0.0, 1e4, 0.0, {}, "the engine turns from this time on", {0.0, 10.0}},
                   [](LearnPlan& p, double a, const auto&) { earliest(p.engine_turns, a); }});
    all.push_back({{"interrupted", "s", 0.0, 1e4, 5.0, {}, "the power is cut at this time", {2.0, 8.0, 13.0}},
                   [](LearnPlan& p, double a, const auto&) { earliest(p.cut, a); }});
}

const std::vector<Entry>& entries() {
    static const std::vector<Entry> all = [] {
        std::vector<Entry> list;
        add_foot(list);
        add_blade(list);
        add_wiring(list);
        return list;
    }();
    return all;
}

template <class List, class Text>
std::string listed(const List& list, Text text) {
    std::string out;
    for (const auto& item : list) out += (out.empty() ? "" : ", ") + std::string(text(item));
    return out;
}

const Entry& find(const LearnDisturbance& m, const std::string& path) {
    const auto& all = entries();
    const auto it = std::find_if(all.begin(), all.end(), [&](const Entry& e) { return m.name == e.kind.name; });
    if (it == all.end())
        throw InvalidParameter(path + ".name", "there is no disturbance '" + m.name + "'; disturbances: " +
                                                   listed(all, [](const Entry& e) { return e.kind.name; }));
    return *it;
}

void check_place(const LearnDisturbance& m, const LearnDisturbanceKind& kind, const std::string& path) {
    if (kind.places.empty() && !m.where.empty())
        throw InvalidParameter(path + ".where", m.name + " takes no place; got '" + m.where + "'");
    if (!kind.places.empty() && std::find(kind.places.begin(), kind.places.end(), m.where) == kind.places.end())
        throw InvalidParameter(path + ".where", m.name + " needs a place; got '" + m.where + "'; places: " +
                                                    listed(kind.places, [](const std::string& s) { return s; }));
}

}  // namespace

const std::vector<LearnDisturbanceKind>& disturbance_catalogue() {
    static const std::vector<LearnDisturbanceKind> kinds = [] {
        std::vector<LearnDisturbanceKind> out;
        for (const Entry& e : entries()) out.push_back(e.kind);
        return out;
    }();
    return kinds;
}

LearnPlan with_disturbances(LearnPlan plan, const std::vector<LearnDisturbance>& disturbances) {
    for (std::size_t i = 0; i < disturbances.size(); ++i) {
        const LearnDisturbance& m = disturbances[i];
        const std::string path = "disturbances[" + std::to_string(i + 1) + "]";
        const Entry& entry = find(m, path);
        const double amount = m.amount.value_or(entry.kind.usual);
        require(amount, {entry.kind.least, entry.kind.most}, path + ".amount", entry.kind.unit, entry.kind.meaning);
        check_place(m, entry.kind, path);
        entry.apply(plan, amount, m.where);
    }
    return plan;
}

std::vector<fault::Fault> lasting_faults(const std::vector<LearnDisturbance>& disturbances) {
    std::vector<LearnDisturbance> lasting;
    for (const LearnDisturbance& m : disturbances)
        if (find(m, "disturbances").kind.can_stay) lasting.push_back(m);
    return with_disturbances({.stroke = Stroke::two_presses()}, lasting).faults;
}

}  // namespace twintrack::bench
