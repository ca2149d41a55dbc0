// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learned_range.hpp"

#include <algorithm>
#include <cstdio>

#include "cards.hpp"
#include "fields.hpp"
#include "twintrack/control/range_store.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::python {

using namespace control;

namespace {

std::string hex(std::uint32_t value) {
    char text[16];
    std::snprintf(text, sizeof text, "%08x", static_cast<unsigned>(value));
    return text;
}

py::dict range_to_dict(const LearnedRange& r) {
    const auto curves = [](const std::vector<LearnedTrack>& tracks) {
        py::list list;
        for (const auto& t : tracks) list.append(py::cast(t.curve));
        return list;
    };
    py::dict d;
    d["version"] = record_version;
    d["pedal"] = curves(r.pedal);
    d["throttle"] = curves(r.throttle);
    d["default_opening"] = r.default_opening;
    d["pedal_name"] = r.pedal_name;
    d["body_name"] = r.body_name;
    d["supply"] = r.supply;
    d["learned_at"] = r.learned_at;
    d["count"] = r.count;
    d["checksum"] = hex(checksum(r));
    return d;
}

/// The entry `name` as `read` takes it, or `fallback` when there is none.
template <class T>
T entry(const py::dict& d, const char* name, T (*read)(py::handle, const std::string&), T fallback) {
    return d.contains(name) ? read(d[name], std::string("learned.") + name) : fallback;
}

std::vector<LearnedTrack> tracks_of(py::handle value, const std::string& where) {
    if (!py::isinstance<py::list>(value) && !py::isinstance<py::tuple>(value))
        throw InvalidParameter(where, "expected a list of curves, one per track");
    std::vector<LearnedTrack> tracks;
    for (const py::handle curve : value) {
        const std::string place = where + "[" + std::to_string(tracks.size() + 1) + "]";
        if (tracks.size() == sensing::max_tracks)
            throw InvalidParameter(place, "has too many tracks; allowed: " + std::to_string(sensing::max_tracks));
        const std::vector<double> readings = numbers(curve, place);
        if (readings.size() != curve_knots)
            throw InvalidParameter(
                place, "has " + std::to_string(readings.size()) + " readings; needed: " + std::to_string(curve_knots));
        std::copy(readings.begin(), readings.end(), tracks.emplace_back().curve.begin());
    }
    return tracks;
}

bool known(const std::string& name) {
    constexpr const char* names[] = {"version",   "pedal",  "throttle",   "default_opening", "pedal_name",
                                     "body_name", "supply", "learned_at", "count",           "checksum"};
    return std::find(std::begin(names), std::end(names), name) != std::end(names);
}

/// A dict without `checksum` is taken as edited on purpose; with one it must fit.
LearnedRange range_from_dict(const py::dict& d) {
    for (const char* name : {"pedal", "throttle", "default_opening"})
        if (!d.contains(name)) throw InvalidParameter(std::string("learned.") + name, "is missing");
    for (const auto& [key, value] : d)
        if (!known(text(key, "learned")))
            throw InvalidParameter("learned." + text(key, "learned"), "is no entry of a learned range");
    if (const int version = entry(d, "version", integer, record_version); version != record_version)
        throw InvalidParameter("learned.version", "this record is foreign: version " + std::to_string(version) +
                                                      ", known is " + std::to_string(record_version));
    LearnedRange r{tracks_of(d["pedal"], "learned.pedal"),
                   tracks_of(d["throttle"], "learned.throttle"),
                   number(d["default_opening"], "learned.default_opening"),
                   entry(d, "pedal_name", text, std::string()),
                   entry(d, "body_name", text, std::string()),
                   entry(d, "supply", number, 0.0),
                   entry(d, "learned_at", number, 0.0),
                   entry(d, "count", integer, 0)};
    check(r, "learned");
    if (const std::string sum = entry(d, "checksum", text, std::string()); !sum.empty() && sum != hex(checksum(r)))
        throw InvalidParameter("learned.checksum", "is " + sum + " but the contents give " + hex(checksum(r)) +
                                                       ": the record is damaged or was edited; leave the checksum out "
                                                       "to take an edited one as it is");
    return r;
}

LearnedRange range_replaced(const LearnedRange& r, const py::kwargs& changes) {
    py::dict d = range_to_dict(r);
    d.attr("pop")("checksum");
    for (const auto& [key, value] : changes) {
        if (!d.contains(key)) throw InvalidParameter(py::str(key), "is no entry of a learned range");
        d[key] = value;
    }
    return range_from_dict(d);
}

py::list slots_of(const RangeStore& store) {
    py::list list;
    for (std::size_t i = 0; i < RangeStore::slots; ++i) {
        const Bytes& bytes = store.slot(i);
        list.append(py::bytes(reinterpret_cast<const char*>(bytes.data()), bytes.size()));
    }
    return list;
}

RangeStore store_of(const std::vector<py::bytes>& slots) {
    if (slots.size() != RangeStore::slots)
        throw InvalidParameter("slots", "two are needed; got " + std::to_string(slots.size()));
    RangeStore store;
    for (std::size_t i = 0; i < slots.size(); ++i) {
        const std::string text = slots[i];
        store.put(i, Bytes(text.begin(), text.end()));
    }
    return store;
}

void bind_store(py::module_& m) {
    py::class_<RangeStore>(m, "RangeStore",
                           "A controller's non-volatile memory: two slots, so that the record in force is never "
                           "written over.")
        .def(py::init(
                 [](const std::optional<LearnedRange>& range) { return range ? RangeStore(*range) : RangeStore(); }),
             py::arg("range") = py::none(), "Empty, or holding `range`.")
        .def_static("from_slots", &store_of, py::arg("slots"), "From two byte strings, damaged ones too.")
        .def_property_readonly("slots", &slots_of, "The two slots as bytes.")
        .def_property_readonly(
            "state", [](const RangeStore& s) { return std::string(name_of(s.read().state)); },
            "empty, unfinished, good, damaged or foreign: what key-on finds.")
        .def_property_readonly(
            "range", [](const RangeStore& s) { return s.read().range; }, "The learned range in force, or None.")
        .def(
            "write",
            [](RangeStore& s, const LearnedRange& range, std::optional<std::size_t> stop_after) {
                s.begin(range);
                (void)s.write(stop_after.value_or(std::size_t{1} << 24));
            },
            py::arg("range"), py::kw_only(), py::arg("stop_after") = py::none(),
            "Writes a record; the power may be cut after `stop_after` bytes.")
        .def(py::pickle([](const RangeStore& s) { return py::tuple(slots_of(s)); },
                        [](const py::tuple& t) { return store_of(t.cast<std::vector<py::bytes>>()); }));
}

void bind_learned(py::module_& m) {
    py::class_<LearnedTrack>(m, "LearnedTrack",
                             "Readings of one track at evenly spaced positions of its assembly's first track.")
        .def_property_readonly(
            "curve", [](const LearnedTrack& t) { return py::array_t<double>(curve_knots, t.curve.data()); },
            "[share of converter full scale], shape (33,), a copy.")
        .def_property_readonly("start", &LearnedTrack::start)
        .def_property_readonly("end", &LearnedTrack::end)
        .def("linear_position", &LearnedTrack::linear_position, py::arg("reading"),
             "Position for a reading, linear between the ends.");
    py::class_<LearnedRange>(m, "LearnedRange", "What a range learn stores of a pair.")
        .def("_repr_html_", card_of("learned_range"), "For notebooks: its ends and curves.")
        .def_readonly("pedal", &LearnedRange::pedal)
        .def_readonly("throttle", &LearnedRange::throttle)
        .def_readonly("default_opening", &LearnedRange::default_opening,
                      "Where the unpowered blade stood [share of travel].")
        .def_readonly("pedal_name", &LearnedRange::pedal_name)
        .def_readonly("body_name", &LearnedRange::body_name)
        .def_readonly("supply", &LearnedRange::supply, "[V] under which it was learned; 0: not known.")
        .def_readonly("learned_at", &LearnedRange::learned_at, "[s] since key-on.")
        .def_readonly("count", &LearnedRange::count, "Number of the learn; 0: made by hand.")
        .def_property_readonly(
            "version", [](const LearnedRange&) { return record_version; }, "Of the record's layout.")
        .def_property_readonly(
            "checksum", [](const LearnedRange& r) { return hex(checksum(r)); }, "CRC-32 of the record, in hexadecimal.")
        .def("to_dict", &range_to_dict,
             "Plain lists and numbers with version and checksum; `from_dict` is the inverse.")
        .def_static("from_dict", &range_from_dict, py::arg("values"),
                    "Refuses another version and a checksum that does not fit; without `checksum` the contents count.")
        .def("replace", &range_replaced, "A changed copy: entries of `to_dict` as keywords.")
        .def("__eq__",
             [](const LearnedRange& a, py::handle b) {
                 return py::isinstance<LearnedRange>(b) && a == b.cast<const LearnedRange&>();
             })
        .def(py::pickle(&range_to_dict, &range_from_dict));
}

}  // namespace

void bind_learned_range(py::module_& m) {
    bind_learned(m);
    bind_store(m);
}

}  // namespace twintrack::python
