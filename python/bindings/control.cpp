// SPDX-License-Identifier: BSD-3-Clause
#include <cstdio>

#include "twintrack/control/controller.hpp"
#include "twintrack/control/power.hpp"
#include "twintrack/control/range_learn.hpp"
#include "twintrack/control/tuning.hpp"
#include "twintrack/core/error.hpp"

#include "fields.hpp"

namespace twintrack::python {

using namespace control;

namespace {

py::array_t<double> readings(const Readings& r) {
    return py::array_t<double>(static_cast<py::ssize_t>(r.size()), r.data());
}

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

template <class T>
T entry(const py::dict& d, const char* name, T fallback) {
    return d.contains(name) ? d[name].cast<T>() : fallback;
}

/// A dict without `checksum` is taken as edited on purpose; with one it must fit.
LearnedRange range_from_dict(const py::dict& d) {
    for (const char* name : {"pedal", "throttle", "default_opening"})
        if (!d.contains(name)) throw InvalidParameter(std::string("learned.") + name, "is missing");
    if (const int version = entry(d, "version", record_version); version != record_version)
        throw InvalidParameter("learned.version", "this record is foreign: version " + std::to_string(version) +
                                                      ", known is " + std::to_string(record_version));
    const auto curves = [&](const char* name) {
        std::vector<LearnedTrack> tracks;
        for (const auto& curve : d[name].cast<std::vector<std::array<double, curve_knots>>>())
            tracks.push_back({curve});
        return tracks;
    };
    LearnedRange r{curves("pedal"),
                   curves("throttle"),
                   d["default_opening"].cast<double>(),
                   entry(d, "pedal_name", std::string()),
                   entry(d, "body_name", std::string()),
                   entry(d, "supply", 0.0),
                   entry(d, "learned_at", 0.0),
                   entry(d, "count", 0)};
    check(r, "learned");
    if (const std::string sum = entry(d, "checksum", std::string()); !sum.empty() && sum != hex(checksum(r)))
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

void bind_result(py::module_& m) {
    auto c = py::class_<LearnMeasures>(m, "LearnMeasures", "The learn in numbers; NaN what it did not come to.");
    c.def_readonly("default_opening", &LearnMeasures::default_opening, "[share of travel].")
        .def_readonly("default_repeat", &LearnMeasures::default_repeat, "[share of travel] from below and from above.")
        .def_readonly("opener_time", &LearnMeasures::opener_time, "[s] closed stop to rest.")
        .def_readonly("return_time", &LearnMeasures::return_time, "[s] open stop to rest.")
        .def_readonly("throttle_bend", &LearnMeasures::throttle_bend, "[share of span] worst track.")
        .def_readonly("throttle_noise", &LearnMeasures::throttle_noise, "[share of full scale] rms.")
        .def_readonly("pedal_bend", &LearnMeasures::pedal_bend, "[share of span] worst track.")
        .def_readonly("pedal_noise", &LearnMeasures::pedal_noise, "[share of full scale] rms.")
        .def_readonly("press_difference", &LearnMeasures::press_difference, "[share of span].");
    py::class_<LearnResult>(m, "LearnResult", "How a range learn ended.")
        .def_readonly("accepted", &LearnResult::accepted)
        .def_readonly("reason", &LearnResult::reason, "Why it was refused, with the numbers; empty when accepted.")
        .def_property_readonly(
            "refusal", [](const LearnResult& r) { return std::string(name_of(r.refusal)); },
            "Name of the refusal, such as \"presses differ\"; \"none\" when accepted.")
        .def_readonly("measured", &LearnResult::measured, "What the refusal looked at; NaN where it is no number.")
        .def_readonly("limit", &LearnResult::limit, "What it was held against.")
        .def_readonly("measures", &LearnResult::measures)
        .def_property_readonly(
            "stopped_in", [](const LearnResult& r) { return std::string(name_of(r.stopped_in)); },
            "The step it ended in.")
        .def_readonly("range", &LearnResult::range, "The learned range, or None.");
    m.def(
        "learn_parameters",
        [](const std::string& strictness) {
            return learn_parameters(enumerator<Strictness>(py::str(strictness), "strictness"));
        },
        py::arg("strictness") = "default", "How much a range learn believes: \"strict\", \"default\" or \"careless\".");
    m.def("learn_diagram", &learn_diagram, "The steps of the range learn as a diagram in Mermaid's text form.");
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
        .def(
            "__eq__",
            [](const LearnedRange& a, py::handle b) {
                return py::isinstance<LearnedRange>(b) && a == b.cast<const LearnedRange&>();
            })
        .def(py::pickle(&range_to_dict, &range_from_dict));
}

void bind_engine_readings(py::module_& m) {
    py::class_<EngineReadings>(m, "EngineReadings", "What is measured of an engine, and what its idle governor says.")
        .def_readonly("running", &EngineReadings::running, "It burns by itself.")
        .def_readonly("speed", &EngineReadings::speed, "[rad/s].")
        .def_readonly("coolant", &EngineReadings::coolant, "[°C].")
        .def_readonly("idle_goal", &EngineReadings::idle_goal, "[rad/s] that the coolant asks of the idle.")
        .def_readonly("idle_authority", &EngineReadings::idle_authority,
                      "Share of the governor's air above what it asks for; 0 and 1: at a limit.");
}

void bind_unit(py::module_& m) {
    bind_engine_readings(m);
    py::class_<Input>(m, "ControlInput", "Everything a controller may know at a tick.")
        .def_property_readonly(
            "time", [](const Input& i) { return seconds(i.time); }, "[s] since key-on.")
        .def_property_readonly(
            "pedal", [](const Input& i) { return readings(i.pedal); },
            "[share of full scale], shape (3,); unused tracks are 0.")
        .def_property_readonly(
            "throttle", [](const Input& i) { return readings(i.throttle); },
            "[share of full scale], shape (3,); unused tracks are 0.")
        .def_readonly("supply", &Input::supply, "[V] measured.")
        .def_property_readonly(
            "pedal_reference", [](const Input& i) { return readings(i.pedal_reference); },
            "[V] at the reference pins, shape (3,).")
        .def_property_readonly(
            "throttle_reference", [](const Input& i) { return readings(i.throttle_reference); },
            "[V] at the reference pins, shape (3,).")
        .def_readonly("motor_current", &Input::motor_current, "[A].")
        .def_property_readonly(
            "bridge_state", [](const Input& in) { return std::string(name_of(in.bridge.state)); },
            "Why the bridge does not drive, or ready.")
        .def_property_readonly(
            "bridge_fault", [](const Input& in) { return std::string(name_of(in.bridge.fault)); },
            "What the bridge finds wrong with the motor's leads, or none.")
        .def_property_readonly(
            "bridge_derated", [](const Input& in) { return in.bridge.derated; },
            "The current is limited because bridge or winding is hot.")
        .def_readonly("motor_permitted", &Input::motor_permitted, "False: the monitor has switched the motor off.")
        .def_readonly("key_on", &Input::key_on)
        .def_readonly("engine_still", &Input::engine_still)
        .def_readonly("idle_opening", &Input::idle_opening, "The demand is never less [share of travel].")
        .def_readonly("air_flow", &Input::air_flow, "[kg/s] measured; 0 without an air meter.")
        .def_readonly("engine", &Input::engine, "EngineReadings.")
        .def_readonly("brake", &Input::brake, "Reading of the brake's sensor [share of full scale].")
        .def_readonly("brake_applied", &Input::brake_applied)
        .def_readonly("brake_hard", &Input::brake_hard)
        .def_readonly("demand_limit", &Input::demand_limit, "The demand must not exceed it [share of travel].")
        .def_readonly("demand_slope", &Input::demand_slope, "[1/s] nor rise faster; 0: no limit.")
        .def_readonly("lowest_track", &Input::lowest_track, "Of the pedal's tracks the lowest counts.")
        .def_readonly("pedal_trust", &Input::pedal_trust, "Which tracks may be believed, three flags.")
        .def_readonly("throttle_trust", &Input::throttle_trust, "Which tracks may be believed, three flags.");
    py::class_<Command>(m, "Command", "What a controller answers.")
        .def(py::init([](const std::string& mode, double duty, double pedal, double demand, double set_point,
                         double opening) {
                 for (const double v : {duty, pedal, demand, set_point, opening})
                     require(v, {}, "Command", "", "every number of a command");
                 return Command{enumerator<plant::BridgeMode>(py::str(mode), "Command.mode"),
                                duty,
                                pedal,
                                demand,
                                set_point,
                                opening};
             }),
             py::kw_only(), py::arg("mode") = "high_impedance", py::arg("duty") = 0.0, py::arg("pedal") = 0.0,
             py::arg("demand") = 0.0, py::arg("set_point") = 0.0, py::arg("opening") = 0.0,
             "mode: \"drive\", \"brake\" or \"high_impedance\"; duty −1 … 1, opening positive; the rest are what it "
             "believes, as shares of travel.")
        .def_property_readonly("mode", [](const Command& c) { return std::string(name_of(c.mode)); })
        .def_readonly("duty", &Command::duty)
        .def_readonly("pedal", &Command::pedal)
        .def_readonly("demand", &Command::demand)
        .def_readonly("set_point", &Command::set_point)
        .def_readonly("opening", &Command::opening)
        .def_property_readonly("self_test", [](const Command& c) { return std::string(name_of(c.self_test)); })
        .def("__repr__", [](const Command& c) {
            return std::string("Command(mode='") + name_of(c.mode) + "', duty=" + std::to_string(c.duty) + ")";
        });
}

}  // namespace

void bind_control(py::module_& m) {
    bind_struct<PedalMapParameters>(m, "PedalMapParameters", "Pedal position to demanded opening.");
    bind_struct<PidParameters>(m, "PidParameters", "PID gains.");
    bind_struct<SelfTestParameters>(m, "SelfTestParameters", "The test of default position and springs at key-on.");
    bind_struct<ClosedStopParameters>(m, "ClosedStopParameters", "Following of the closed stop while running.");
    bind_struct<PowerParameters>(m, "PowerParameters", "Supply and reset of the controller.");
    bind_struct<ControllerParameters>(m, "ControllerParameters", "The built-in position controller.");
    bind_struct<LearnLimits>(m, "LearnLimits", "What a range learn believes.");
    bind_struct<LearnParameters>(m, "LearnParameters", "The range learn.");
    m.def(
        "tuned_gains",
        [](const plant::BodyMechanics& body, double period, double filter_time) {
            return damping_optimum(loop_model(body, period, filter_time));
        },
        py::arg("mechanics"), py::arg("period") = 0.001, py::arg("filter_time") = 0.0003,
        "PID gains for a body by the damping optimum; period and input filter in seconds.");
    bind_learned(m);
    bind_store(m);
    bind_result(m);
    bind_unit(m);
}

}  // namespace twintrack::python
