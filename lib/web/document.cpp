// SPDX-License-Identifier: BSD-3-Clause
#include "document.hpp"

#include <algorithm>

#include "tree.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::web {

namespace {

/// Calls read(entry, place) for the entry of that name, if there is one.
template <class Read>
void with(const Tree& tree, const char* name, const std::string& path, Read read) {
    const auto found = tree.find(name);
    if (found == tree.not_found() || found->second.data() == "null") return;
    read(found->second, dotted(path, name));
}

Time time_of(const Tree& value, const std::string& where) { return from_seconds(number(value, where)); }

fault::Fault fault_in(const Tree& tree, const std::string& path) {
    fault::Fault f;
    with(tree, "where", path, [&](const Tree& v, const std::string&) { f.where = v.data(); });
    with(tree, "what", path, [&](const Tree& v, const std::string&) { f.what = v.data(); });
    with(tree, "other", path, [&](const Tree& v, const std::string&) { f.with = v.data(); });
    with(tree, "amount", path, [&](const Tree& v, const std::string& at) { f.amount = number(v, at); });
    with(tree, "start", path, [&](const Tree& v, const std::string& at) { f.from = time_of(v, at); });
    with(tree, "end", path, [&](const Tree& v, const std::string& at) { f.to = time_of(v, at); });
    with(tree, "ramp", path, [&](const Tree& v, const std::string& at) { f.ramp = time_of(v, at); });
    with(tree, "every", path, [&](const Tree& v, const std::string& at) { f.every = time_of(v, at); });
    with(tree, "lasting", path, [&](const Tree& v, const std::string& at) { f.lasting = time_of(v, at); });
    return f;
}

std::vector<control::LearnedTrack> tracks_in(const Tree& list, const std::string& path) {
    std::vector<control::LearnedTrack> tracks;
    for (const auto& [key, curve] : list) {
        const std::vector<double> readings = numbers(curve, path);
        if (readings.size() != control::curve_knots || tracks.size() == sensing::max_tracks)
            throw InvalidParameter(path, "must be up to three curves of 33 readings");
        std::copy(readings.begin(), readings.end(), tracks.emplace_back().curve.begin());
    }
    return tracks;
}

control::LearnedRange learned_in(const Tree& tree, const std::string& path) {
    control::LearnedRange r;
    with(tree, "pedal", path, [&](const Tree& v, const std::string& at) { r.pedal = tracks_in(v, at); });
    with(tree, "throttle", path, [&](const Tree& v, const std::string& at) { r.throttle = tracks_in(v, at); });
    with(tree, "default_opening", path,
         [&](const Tree& v, const std::string& at) { r.default_opening = number(v, at); });
    with(tree, "pedal_name", path, [&](const Tree& v, const std::string&) { r.pedal_name = v.data(); });
    with(tree, "body_name", path, [&](const Tree& v, const std::string&) { r.body_name = v.data(); });
    with(tree, "supply", path, [&](const Tree& v, const std::string& at) { r.supply = number(v, at); });
    with(tree, "learned_at", path, [&](const Tree& v, const std::string& at) { r.learned_at = number(v, at); });
    with(tree, "count", path, [&](const Tree& v, const std::string& at) { r.count = static_cast<int>(number(v, at)); });
    check(r, path);
    return r;
}

bench::Stroke stroke_in(const Tree& tree, const std::string& path) {
    std::vector<double> time, travel;
    with(tree, "time", path, [&](const Tree& v, const std::string& at) { time = numbers(v, at); });
    with(tree, "travel", path, [&](const Tree& v, const std::string& at) { travel = numbers(v, at); });
    return {time, travel};
}

bench::LearnDisturbance disturbance_in(const Tree& tree, const std::string& path) {
    bench::LearnDisturbance d;
    with(tree, "name", path, [&](const Tree& v, const std::string&) { d.name = v.data(); });
    with(tree, "where", path, [&](const Tree& v, const std::string&) { d.where = v.data(); });
    with(tree, "amount", path, [&](const Tree& v, const std::string& at) { d.amount = number(v, at); });
    return d;
}

template <Described S>
S struct_in(const Tree& tree, const std::string& path) {
    S value;
    assign(description(Tag<S>{}), &value, tree, path);
    validate(value, path);
    return value;
}

}  // namespace

Document document_of(const std::string& json) {
    const Tree tree = parsed(json);
    Document d;
    with(tree, "bench", "",
         [&](const Tree& v, const std::string&) { d.bench = struct_in<bench::BenchParameters>(v, ""); });
    with(tree, "learned", "", [&](const Tree& v, const std::string& at) { d.learned = learned_in(v, at); });
    with(tree, "stroke", "", [&](const Tree& v, const std::string& at) { d.stroke = stroke_in(v, at); });
    with(tree, "brake", "", [&](const Tree& v, const std::string&) { d.brake = v.data() == "true"; });
    with(tree, "faults", "", [&](const Tree& list, const std::string& at) {
        for (const auto& [key, v] : list) d.faults.push_back(fault_in(v, at));
    });
    with(tree, "disturbances", "", [&](const Tree& list, const std::string& at) {
        for (const auto& [key, v] : list) d.disturbances.push_back(disturbance_in(v, at));
    });
    return d;
}

fault::Fault fault_of(const std::string& json) { return fault_in(parsed(json), "fault"); }

control::ControllerParameters controller_of(const std::string& json) {
    return struct_in<control::ControllerParameters>(parsed(json), "controller");
}

}  // namespace twintrack::web
