// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/signals.hpp"

#include <algorithm>
#include <cstring>
#include <string_view>
#include <type_traits>

#include "fields.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::python {

using namespace control;

namespace {

py::array_t<double> readings(const Readings& r) {
    return py::array_t<double>(static_cast<py::ssize_t>(r.size()), r.data());
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

/// Up to three readings; the others are 0.
Readings readings_of(const py::object& given, const std::string& where, double other) {
    Readings r;
    r.fill(other);
    if (given.is_none()) return r;
    const std::vector<double> values = numbers(given, where);
    if (values.size() > r.size())
        throw InvalidParameter(where,
                               "a value for each track is needed, at most three; got " + std::to_string(values.size()));
    std::copy(values.begin(), values.end(), r.begin());
    return r;
}

Input input_of(double time, const py::object& pedal, const py::object& throttle, double supply, double reference,
               double motor_current, bool motor_permitted, bool key_on, double idle_opening) {
    for (const auto& [value, where] : {std::pair{time, "time"},
                                       {supply, "supply"},
                                       {reference, "reference"},
                                       {motor_current, "motor_current"},
                                       {idle_opening, "idle_opening"}})
        require(value, {}, std::string("ControlInput.") + where, "", "what a controller reads");
    Input in;
    in.time = from_seconds(time);
    in.pedal = readings_of(pedal, "ControlInput.pedal", 0.0);
    in.throttle = readings_of(throttle, "ControlInput.throttle", 0.0);
    in.supply = supply;
    in.pedal_reference.fill(reference), in.throttle_reference.fill(reference);
    in.motor_current = motor_current;
    in.motor_permitted = motor_permitted;
    in.key_on = key_on;
    in.idle_opening = idle_opening;
    return in;
}

/// A value as its bytes, for another process of this build.
template <class T>
auto as_bytes() {
    static_assert(std::is_trivially_copyable_v<T>);
    return py::pickle([](const T& value) { return py::bytes(reinterpret_cast<const char*>(&value), sizeof value); },
                      [](const py::bytes& bytes) {
                          const auto all = static_cast<std::string_view>(bytes);
                          if (all.size() != sizeof(T)) throw InvalidParameter("pickle", "is of another build");
                          T value;
                          std::memcpy(&value, all.data(), sizeof value);
                          return value;
                      });
}

void bind_input(py::module_& m) {
    py::class_<Input>(m, "ControlInput", "Everything a controller may know at a tick.")
        .def(as_bytes<Input>())
        .def(py::init(&input_of), py::kw_only(), py::arg("time") = 0.0, py::arg("pedal") = py::none(),
             py::arg("throttle") = py::none(), py::arg("supply") = 13.5, py::arg("reference") = 5.0,
             py::arg("motor_current") = 0.0, py::arg("motor_permitted") = true, py::arg("key_on") = true,
             py::arg("idle_opening") = 0.0,
             "One of one's own, to try a controller without a bench: `time` [s]; readings of the `pedal` and "
             "`throttle` tracks [share of full scale]; `supply` and the sensors' `reference` [V]; `motor_current` "
             "[A]; `idle_opening` [share of travel].")
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
        .def_property_readonly(
            "idle_contact",
            [](const Input& in) {
                return in.idle_contact == IdleContact::absent     ? "absent"
                       : in.idle_contact == IdleContact::foot_off ? "foot off"
                                                                  : "foot on";
            },
            "What the pedal's idle switch says: absent, foot off or foot on.")
        .def_readonly("brake_applied", &Input::brake_applied)
        .def_readonly("brake_hard", &Input::brake_hard)
        .def_readonly("demand_limit", &Input::demand_limit, "The demand must not exceed it [share of travel].")
        .def_readonly("demand_slope", &Input::demand_slope, "[1/s] nor rise faster; 0: no limit.")
        .def_readonly("lowest_track", &Input::lowest_track, "Of the pedal's tracks the lowest counts.")
        .def_readonly("pedal_trust", &Input::pedal_trust, "Which tracks may be believed, three flags.")
        .def_readonly("throttle_trust", &Input::throttle_trust, "Which tracks may be believed, three flags.");
}

void bind_command(py::module_& m) {
    py::class_<Command>(m, "Command", "What a controller answers.")
        .def(as_bytes<Command>())
        .def(py::init([](const std::string& mode, double duty, double pedal, double demand, double set_point,
                         double opening) {
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

void bind_signals(py::module_& m) {
    bind_engine_readings(m);
    bind_input(m);
    bind_command(m);
}

}  // namespace twintrack::python
