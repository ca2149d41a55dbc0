// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/external/document.hpp"

#include "json.hpp"
#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::external {

namespace {

[[noreturn]] void unknown(const std::string& where, const std::string& allowed) {
    throw InvalidParameter(where, "no such key; there are: " + allowed);
}

ModelKind kind_of(const Tree& node) {
    const std::string wanted = text(node, "kind");
    for (const auto& [kind, name] : names(Tag<ModelKind>{}))
        if (wanted == name) return kind;
    throw InvalidParameter("kind", "there is no '" + wanted + "'; allowed: bench, plant, controller");
}

bench::Stroke stroke_of(const Tree& node, const std::string& where) {
    std::vector<double> time, travel;
    for (const auto& [key, list] : node) {
        if (key == "time")
            time = numbers(list, where + ".time");
        else if (key == "travel")
            travel = numbers(list, where + ".travel");
        else
            unknown(dotted(where, key), "time, travel");
    }
    return {std::move(time), std::move(travel)};
}

std::vector<control::LearnedTrack> tracks_of(const Tree& node, const std::string& where) {
    std::vector<control::LearnedTrack> tracks;
    for_each_entry(node, where, [&](const Tree& curve, const std::string& place) {
        const std::vector<double> readings = numbers(curve, place);
        if (readings.size() != control::curve_knots)
            throw InvalidParameter(place, "has " + std::to_string(readings.size()) +
                                              " readings; needed: " + std::to_string(control::curve_knots));
        std::copy(readings.begin(), readings.end(), tracks.emplace_back().curve.begin());
    });
    return tracks;
}

/// Names, checksum and the like, which the controller does not go by, are passed over.
control::LearnedRange range_of(const Tree& node) {
    control::LearnedRange range;
    for (const auto& [key, value] : node) {
        if (key == "pedal") range.pedal = tracks_of(value, "learned.pedal");
        if (key == "throttle") range.throttle = tracks_of(value, "learned.throttle");
        if (key == "default_opening") range.default_opening = number(value, "learned.default_opening");
    }
    check(range, "learned");
    return range;
}

void read_learned(const Tree& node, Document& d) {
    if (!node.empty()) {
        d.learned = range_of(node);
        return;
    }
    const std::string& word = node.data();
    d.learns = word == "fresh";
    if (!d.learns && word != "none" && word != "null")
        throw InvalidParameter("learned", "expected \"none\", \"fresh\" or a learned range; got '" + word + "'");
}

fault::Fault fault_of(const Tree& node, const std::string& where, std::string& name) {
    fault::Fault f;
    const auto time = [&](const std::string& key, const Tree& n) {
        return from_seconds(number(n, dotted(where, key)));
    };
    for (const auto& [key, value] : node) {
        if (key == "name")
            name = text(value, where + ".name");
        else if (key == "where")
            f.where = text(value, where + ".where");
        else if (key == "what")
            f.what = text(value, where + ".what");
        else if (key == "other")
            f.with = text(value, where + ".other");
        else if (key == "amount")
            f.amount = number(value, where + ".amount");
        else if (key == "start")
            f.from = time(key, value);
        else if (key == "end")
            f.to = is_null(value) ? std::optional<Time>() : time(key, value);
        else if (key == "ramp")
            f.ramp = time(key, value);
        else if (key == "every")
            f.every = time(key, value);
        else if (key == "lasting")
            f.lasting = time(key, value);
        else
            unknown(dotted(where, key), "name, where, what, other, amount, start, end, ramp, every, lasting");
    }
    return f;
}

/// Each switch alone must be possible on this bench; what may not be beside another is told when it is switched on.
void check_switches(const Document& d) {
    for (const FaultSwitch& s : d.switches) {
        if (s.name.empty()) throw InvalidParameter("switches", "each needs a name");
        (void)fault::Schedule({s.fault});
        bench::check_faults(d.bench, {s.fault}, d.brake.has_value(), {});
    }
}

void read_key(const std::string& key, const Tree& node, Document& d) {
    if (key == "kind")
        d.kind = kind_of(node);
    else if (key == "token")
        d.token = text(node, key);
    else if (key == "bench")
        assign(description(Tag<bench::BenchParameters>{}), &d.bench, node, key);
    else if (key == "learned")
        read_learned(node, d);
    else if (key == "stroke")
        d.stroke = stroke_of(node, key);
    else if (key == "brake")
        d.brake = is_null(node) ? std::optional<bench::Stroke>() : stroke_of(node, key);
    else if (key == "faults")
        for_each_entry(node, key, [&](const Tree& entry, const std::string& place) {
            std::string none;
            d.faults.push_back(fault_of(entry, place, none));
        });
    else if (key == "switches")
        for_each_entry(node, key, [&](const Tree& entry, const std::string& place) {
            FaultSwitch s;
            s.fault = fault_of(entry, place, s.name);
            d.switches.push_back(std::move(s));
        });
    else
        unknown(key, "kind, token, bench, learned, stroke, brake, faults, switches");
}

}  // namespace

Document read_document(const std::string& json) {
    Document d;
    for (const auto& [key, node] : parse(json)) read_key(key, node, d);
    validate(d.bench, "bench");
    (void)fault::Schedule(d.faults);
    bench::check_faults(d.bench, d.faults, d.brake.has_value(), {});
    check_switches(d);
    return d;
}

}  // namespace twintrack::external
