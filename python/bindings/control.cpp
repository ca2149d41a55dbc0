// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/controller.hpp"
#include "twintrack/control/range_learn.hpp"
#include "twintrack/control/tuning.hpp"

#include "fields.hpp"

namespace twintrack::python {

using namespace control;

namespace {

py::array_t<double> readings(const Readings& r) {
    return py::array_t<double>(static_cast<py::ssize_t>(r.size()), r.data());
}

py::dict range_to_dict(const LearnedRange& r) {
    const auto curves = [](const std::vector<LearnedTrack>& tracks) {
        py::list list;
        for (const auto& t : tracks) list.append(py::cast(t.curve));
        return list;
    };
    py::dict d;
    d["pedal"] = curves(r.pedal);
    d["throttle"] = curves(r.throttle);
    d["default_opening"] = r.default_opening;
    d["pedal_name"] = r.pedal_name;
    d["body_name"] = r.body_name;
    return d;
}

LearnedRange range_from_dict(const py::dict& d) {
    const auto curves = [&](const char* name) {
        std::vector<LearnedTrack> tracks;
        for (const auto& curve : d[name].cast<std::vector<std::array<double, curve_knots>>>())
            tracks.push_back({curve});
        return tracks;
    };
    LearnedRange r{curves("pedal"), curves("throttle"), d["default_opening"].cast<double>(),
                   d["pedal_name"].cast<std::string>(), d["body_name"].cast<std::string>()};
    check(r, "learned");
    return r;
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
        .def("to_dict", &range_to_dict, "Plain lists and numbers; `from_dict` is the inverse.")
        .def_static("from_dict", &range_from_dict, py::arg("values"))
        .def(
            "__eq__", [](const LearnedRange& a, const LearnedRange& b) { return a == b; }, py::is_operator())
        .def(py::pickle(&range_to_dict, &range_from_dict));
    py::class_<LearnResult>(m, "LearnResult", "How a range learn ended.")
        .def_readonly("accepted", &LearnResult::accepted)
        .def_readonly("reason", &LearnResult::reason, "Why it was refused, with the numbers; empty when accepted.")
        .def_property_readonly(
            "stopped_in", [](const LearnResult& r) { return std::string(name_of(r.stopped_in)); },
            "The step it ended in.")
        .def_readonly("range", &LearnResult::range, "The learned range, or None.");
}

void bind_unit(py::module_& m) {
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
        .def_readonly("motor_current", &Input::motor_current, "[A].")
        .def_readonly("motor_permitted", &Input::motor_permitted, "False: the monitor has switched the motor off.");
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
        .def("__repr__", [](const Command& c) {
            return std::string("Command(mode='") + name_of(c.mode) + "', duty=" + std::to_string(c.duty) + ")";
        });
}

}  // namespace

void bind_control(py::module_& m) {
    bind_struct<PedalMapParameters>(m, "PedalMapParameters", "Pedal position to demanded opening.");
    bind_struct<PidParameters>(m, "PidParameters", "PID gains.");
    bind_struct<ControllerParameters>(m, "ControllerParameters", "The built-in position controller.");
    bind_struct<LearnParameters>(m, "LearnParameters", "The range learn.");
    m.def(
        "tuned_gains",
        [](const plant::BodyMechanics& body, double period, double filter_time) {
            return damping_optimum(loop_model(body, period, filter_time));
        },
        py::arg("mechanics"), py::arg("period") = 0.001, py::arg("filter_time") = 0.0003,
        "PID gains for a body by the damping optimum; period and input filter in seconds.");
    bind_learned(m);
    bind_unit(m);
}

}  // namespace twintrack::python
