// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"

#include <variant>

#include "given.hpp"
#include "interrupt.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

/// What the controller knows: a range, or a memory that it reads at key-on and may refuse.
using Learned = std::optional<std::variant<control::LearnedRange, control::RangeStore>>;

/// What `run` and a session are given beside bench and stroke.
using GivenFaults = Given<std::vector<fault::Fault>>;
using GivenBrake = Given<std::optional<Stroke>>;
using GivenHistory = Given<std::optional<monitor::FaultMemory>>;

constexpr const char* a_bench = "BenchParameters";
constexpr const char* a_stroke = "a Stroke";

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

SessionOptions options_of(Given<Learned> given, GivenFaults faults, py::object controller, GivenBrake brake,
                          GivenHistory history) {
    SessionOptions options{.faults = fault::Schedule(faults.get("faults", "a list of Fault")),
                           .controller = unit_of(std::move(controller)),
                           .brake = brake.get("brake", a_stroke),
                           .history = history.get("history", "a FaultMemory").value_or(monitor::FaultMemory{})};
    Learned learned = given.get("learned", "a LearnedRange or a RangeStore");
    if (!learned) return options;
    if (auto* range = std::get_if<control::LearnedRange>(&*learned)) options.learned = std::move(*range);
    if (auto* memory = std::get_if<control::RangeStore>(&*learned)) options.memory = std::move(*memory);
    return options;
}

std::optional<double> seconds_of(Given<std::optional<double>> given, const char* where) {
    if (given.value.is_none()) return {};
    return number(given.value, where);
}

Run run_bench(Given<BenchParameters> parameters, Given<Stroke> given, Given<std::optional<double>> duration,
              Given<Learned> learned, GivenFaults faults, py::object controller, GivenBrake brake,
              GivenHistory history) {
    const BenchParameters p = parameters.get("parameters", a_bench);
    const Stroke stroke = given.get("stroke", a_stroke);
    const std::optional<double> length = seconds_of(duration, "duration");
    SessionOptions options = options_of(learned, faults, std::move(controller), brake, history);
    Interrupted signal;
    Run result = [&] {
        py::gil_scoped_release unlocked;
        return run(p, stroke, length, std::move(options), signal.question());
    }();
    signal.raise_if_set();
    return result;
}

Session session_of(Given<BenchParameters> parameters, Given<Stroke> given, Given<Learned> learned, GivenFaults faults,
                   py::object controller, GivenBrake brake, GivenHistory history) {
    const BenchParameters p = parameters.get("parameters", a_bench);
    const Stroke stroke = given.get("stroke", a_stroke);
    SessionOptions options = options_of(learned, faults, std::move(controller), brake, history);
    check_length(p, stroke.duration());
    check_faults(p, options.faults.faults(), options.brake.has_value(), {});
    return Session(p, stroke, std::move(options));
}

void bind_session(py::module_& m) {
    py::class_<Session>(m, "Session", "One key-on of a bench, stepped tick by tick.")
        .def(py::init(&session_of), py::arg("parameters"), py::arg("stroke"), py::kw_only(),
             py::arg("learned") = py::none(), py::arg("faults") = std::vector<fault::Fault>{},
             py::arg("controller") = py::none(), py::arg("brake") = py::none(), py::arg("history") = py::none())
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
    m.def(
        "check_faults",
        [](const std::vector<fault::Fault>& faults, const std::optional<BenchParameters>& p, bool brake,
           std::optional<double> duration) {
            (void)fault::Schedule(faults);
            if (p) check_faults(*p, faults, brake, duration);
            if (p && duration) check_length(*p, *duration);
        },
        py::arg("faults"), py::arg("parameters") = py::none(), py::kw_only(), py::arg("brake") = false,
        py::arg("duration") = py::none(),
        "Raises InvalidParameter for faults that overlap and, with `parameters`, for one that can have no effect on "
        "that bench in a run of `duration` [s], with a `brake` or without.");
    bind_snapshot(m);
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
