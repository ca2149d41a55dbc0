// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"

#include <variant>

#include "fields.hpp"
#include "interrupt.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

/// What the controller knows: a range, or a memory that it reads at key-on and may refuse.
using Learned = std::optional<std::variant<control::LearnedRange, control::RangeStore>>;

/// A controller written in Python: any object with `step(input) -> Command`.
control::Unit unit_of(py::object controller) {
    if (controller.is_none()) return {};
    if (!py::hasattr(controller, "step"))
        throw InvalidParameter("controller", "needs a method step(input) that returns a Command");
    // The last copy may die in C++ without the interpreter lock: release the object under it.
    auto held = std::shared_ptr<py::object>(new py::object(controller.attr("step")), [](py::object* o) {
        py::gil_scoped_acquire lock;
        delete o;
    });
    return [held](const control::Input& in) {
        py::gil_scoped_acquire lock;
        return (*held)(in).cast<control::Command>();
    };
}

SessionOptions options_of(Learned learned, std::vector<fault::Fault> faults, py::object controller,
                          std::optional<Stroke> brake, std::optional<monitor::FaultMemory> history) {
    SessionOptions options{.faults = fault::Schedule(std::move(faults)),
                           .controller = unit_of(std::move(controller)),
                           .brake = std::move(brake),
                           .history = history.value_or(monitor::FaultMemory{})};
    if (!learned) return options;
    if (auto* range = std::get_if<control::LearnedRange>(&*learned)) options.learned = std::move(*range);
    if (auto* memory = std::get_if<control::RangeStore>(&*learned)) options.memory = std::move(*memory);
    return options;
}

Run run_bench(const BenchParameters& p, const Stroke& stroke, std::optional<double> duration, Learned learned,
              std::vector<fault::Fault> faults, py::object controller, std::optional<Stroke> brake,
              std::optional<monitor::FaultMemory> history) {
    SessionOptions options =
        options_of(std::move(learned), std::move(faults), std::move(controller), std::move(brake), std::move(history));
    Interrupted signal;
    Run result = [&] {
        py::gil_scoped_release unlocked;
        return run(p, stroke, duration, std::move(options), signal.question());
    }();
    signal.raise_if_set();
    return result;
}

void bind_stroke(py::module_& m) {
    py::class_<Stroke>(m, "Stroke", "A pedal movement over time: piecewise linear, held at its ends.")
        .def(py::init<std::vector<double>, std::vector<double>>(), py::kw_only(), py::arg("time"), py::arg("travel"),
             "`time` [s] increasing, `travel` [share of pedal travel, 0 … 1]; lists of equal length.")
        .def_static("rest_half_full_rest", &Stroke::rest_half_full_rest, "Rest, half, full, rest; ramps of one second.")
        .def_static("two_presses", &Stroke::two_presses, "What the range learn asks of the foot.")
        .def_static("rest", &Stroke::rest, py::arg("duration"), "Never touched.")
        .def_property_readonly(
            "time", [](const Stroke& s) { return std::vector<double>(s.table().x().begin(), s.table().x().end()); })
        .def_property_readonly(
            "travel", [](const Stroke& s) { return std::vector<double>(s.table().y().begin(), s.table().y().end()); })
        .def_property_readonly("duration", &Stroke::duration, "[s].")
        .def("__repr__", [](const Stroke& s) { return "Stroke(" + std::to_string(s.duration()) + " s)"; });
}

void bind_session(py::module_& m) {
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
            "watcher", [](const Snapshot& s) { return std::string(name_of(s.watcher)); },
            "Why the second watcher has taken the power away, or none.")
        .def_property_readonly(
            "device", [](const Snapshot& s) { return std::string(name_of(s.device)); },
            "Why the independent device has tripped, or none.");
    py::class_<Session>(m, "Session", "One key-on of a bench, stepped tick by tick.")
        .def(py::init([](const BenchParameters& p, const Stroke& stroke, Learned learned,
                         std::vector<fault::Fault> faults, py::object controller, std::optional<Stroke> brake,
                         std::optional<monitor::FaultMemory> history) {
                 return Session(p, stroke,
                                options_of(std::move(learned), std::move(faults), std::move(controller),
                                           std::move(brake), std::move(history)));
             }),
             py::arg("parameters"), py::arg("stroke"), py::kw_only(), py::arg("learned") = py::none(),
             py::arg("faults") = std::vector<fault::Fault>{}, py::arg("controller") = py::none(),
             py::arg("brake") = py::none(), py::arg("history") = py::none())
        .def(
            "step", [](Session& s) { return s.step(); },
            "Makes the tick that is due and integrates to the next; returns its Snapshot.")
        .def_property_readonly(
            "snapshot", [](const Session& s) { return s.snapshot(); }, "A copy of the last tick's values.")
        .def_property_readonly(
            "time", [](const Session& s) { return seconds(s.time()); }, "[s] of the tick that is due.")
        .def_property_readonly(
            "record", [](const Session& s) { return s.record(); }, "A copy of what was recorded so far.")
        .def_property_readonly("codes", [](const Session& s) { return s.codes(); })
        .def_property_readonly(
            "history", [](const Session& s) { return s.history(); }, "Each code with state, count and freeze-frame.")
        .def_property_readonly("outcome", [](const Session& s) { return s.outcome(); });
}

}  // namespace

void bind_bench(py::module_& m) {
    bind_struct<BenchParameters>(m, "BenchParameters",
                                 "A pedal, a throttle body and the controller both are wired to.");
    m.def("remarks", &remarks, py::arg("parameters"),
          "What is odd about the bench's pin-out, in sentences; it is simulated all the same.");
    bind_stroke(m);
    py::class_<Run>(m, "Run", "What a run gave.")
        .def_readonly("record", &Run::record, py::return_value_policy::reference_internal)
        .def_readonly("outcome", &Run::outcome)
        .def_readonly("codes", &Run::codes)
        .def_readonly("history", &Run::history, "Each code with state, count and freeze-frame.");
    m.def("run", &run_bench, py::arg("parameters"), py::arg("stroke"), py::arg("duration") = py::none(), py::kw_only(),
          py::arg("learned") = py::none(), py::arg("faults") = std::vector<fault::Fault>{},
          py::arg("controller") = py::none(), py::arg("brake") = py::none(), py::arg("history") = py::none(),
          "Key on, the stroke, for `duration` [s] or as long as the stroke. `learned`: a LearnedRange, or a RangeStore "
          "that "
          "is read at key-on. `brake`: a Stroke of how hard the driver brakes (0 … 1), or no brake at all. `history`: "
          "the codes of earlier key cycles. Releases the interpreter lock.");
    bind_session(m);
}

}  // namespace twintrack::python
