// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/bench/fault_checks.hpp"
#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"

#include "interrupt.hpp"
#include "session_options.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

std::optional<double> seconds_of(Given<std::optional<double>> given, const char* where) {
    if (given.value.is_none()) return {};
    return number(given.value, where);
}

Run run_bench(Given<BenchParameters> parameters, Given<Stroke> given, Given<std::optional<double>> duration,
              Given<Learned> learned, GivenFaults faults, const py::object& controller, const py::object& monitor,
              GivenBrake brake, GivenHistory history) {
    const BenchParameters p = parameters.get("parameters", a_bench);
    const Stroke stroke = given.get("stroke", a_stroke);
    const std::optional<double> length = seconds_of(duration, "duration");
    SessionOptions options = options_of(learned, faults, controller, monitor, brake, history);
    Interrupted signal;
    Run result = [&] {
        py::gil_scoped_release unlocked;
        return run(p, stroke, length, std::move(options), signal.question());
    }();
    signal.raise_if_set();
    return result;
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
          py::arg("controller") = py::none(), py::arg("monitor") = py::none(), py::arg("brake") = py::none(),
          py::arg("history") = py::none(),
          "Key on, the stroke, for `duration` [s] or as long as the stroke. `learned`: a LearnedRange, or a RangeStore "
          "that "
          "is read at key-on. `brake`: a Stroke of how hard the driver brakes (0 … 1), or no brake at all. `history`: "
          "the codes of earlier key cycles. `controller`: an object with step(ControlInput) -> Command; `monitor`: one "
          "with "
          "step(ControlInput, Command of the tick before) -> MonitorAnswer; or a factory (learned, bench, period) of "
          "one, called again after each reset. Releases the interpreter lock.");
    bind_session(m);
    bind_external(m);
}

}  // namespace twintrack::python
