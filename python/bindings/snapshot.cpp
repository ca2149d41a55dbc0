// SPDX-License-Identifier: BSD-3-Clause
// What goes into a session, and what a tick of it shows.
#include "given.hpp"
#include "twintrack/bench/session.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

void bind_stroke(py::module_& m) {
    py::class_<Stroke>(m, "Stroke", "A pedal movement over time: piecewise linear, held at its ends.")
        .def(py::init([](Given<std::vector<double>> time, Given<std::vector<double>> travel) {
                 return Stroke(numbers(time.value, "stroke.time"), numbers(travel.value, "stroke.travel"));
             }),
             py::kw_only(), py::arg("time"), py::arg("travel"),
             "`time` [s] increasing, `travel` [share of pedal travel, 0 … 1]; lists of equal length.")
        .def_static("rest_half_full_rest", &Stroke::rest_half_full_rest, "Rest, half, full, rest; ramps of one second.")
        .def_static("two_presses", &Stroke::two_presses, "What the range learn asks of the foot.")
        .def_static(
            "rest", [](Given<double> duration) { return Stroke::rest(number(duration.value, "duration")); },
            py::arg("duration"), "Never touched.")
        .def_property_readonly(
            "time", [](const Stroke& s) { return std::vector<double>(s.table().x().begin(), s.table().x().end()); })
        .def_property_readonly(
            "travel", [](const Stroke& s) { return std::vector<double>(s.table().y().begin(), s.table().y().end()); })
        .def_property_readonly("duration", &Stroke::duration, "[s].")
        .def(py::pickle(
            [](const Stroke& s) {
                return py::make_tuple(std::vector<double>(s.table().x().begin(), s.table().x().end()),
                                      std::vector<double>(s.table().y().begin(), s.table().y().end()));
            },
            [](const py::tuple& t) {
                return Stroke(t[0].cast<std::vector<double>>(), t[1].cast<std::vector<double>>());
            }))
        .def("__repr__", [](const Stroke& s) { return "Stroke(" + std::to_string(s.duration()) + " s)"; });
}

}  // namespace

void bind_snapshot(py::module_& m) {
    bind_stroke(m);
    py::class_<Snapshot>(m, "Snapshot", "Values of one tick.")
        .def_property_readonly(
            "time", [](const Snapshot& s) { return seconds(s.time); }, "[s].")
        .def_readonly("pedal_travel", &Snapshot::pedal_travel, "True, share of travel.")
        .def_readonly("asked", &Snapshot::asked, "Opening the pedal map asks of the true travel.")
        .def_readonly("blade_opening", &Snapshot::blade_opening, "True, share of travel.")
        .def_property_readonly(
            "blade_angle", [](const Snapshot& s) { return s.body.angle; }, "[rad].")
        .def_property_readonly(
            "blade_speed", [](const Snapshot& s) { return s.body.speed; }, "[rad/s].")
        .def_property_readonly(
            "motor_current", [](const Snapshot& s) { return s.body.current; }, "[A].")
        .def_readonly("motor_voltage", &Snapshot::motor_voltage, "[V].")
        .def_readonly("supply", &Snapshot::supply, "[V].")
        .def_readonly("awake", &Snapshot::awake, "The controller is not in reset.")
        .def_readonly("input", &Snapshot::input)
        .def_readonly("command", &Snapshot::command)
        .def_property_readonly("reaction", [](const Snapshot& s) { return std::string(name_of(s.reaction)); })
        .def_readonly("action", &Snapshot::action, "What the reaction orders.")
        .def_readonly("braking", &Snapshot::braking, "True, share of full braking.")
        .def_readonly("brake_volts", &Snapshot::brake_volts, "[V].")
        .def_property_readonly(
            "function_monitor", [](const Snapshot& s) { return std::string(name_of(s.function_monitor)); },
            "Why the function monitor has taken the power away, or none.")
        .def_property_readonly(
            "device", [](const Snapshot& s) { return std::string(name_of(s.device)); },
            "Why the independent device has tripped, or none.");
}

}  // namespace twintrack::python
