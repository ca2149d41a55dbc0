// SPDX-License-Identifier: BSD-3-Clause
// Units stepped by hand, without a bench around them.
#include <stdexcept>

#include "session_options.hpp"
#include "twintrack/bench/engine_loop.hpp"
#include "units.hpp"

namespace twintrack::python {

namespace {

/// What a factory has made for one case.
template <class Function>
struct MadeUnit {
    Function step;
};

using MadeController = MadeUnit<control::Unit>;
using MadeMonitor = MadeUnit<monitor::MonitorFunction>;
using MadeLearn = MadeUnit<control::LearnFunction>;
using Range = std::optional<control::LearnedRange>;

template <class Function>
MadeUnit<Function> made_unit(Given<bench::BenchParameters> given, const Range& learned,
                             const bench::Factory<Function>& own, const bench::Factory<Function>& built_in) {
    const bench::BenchParameters p = given.get("bench", a_bench);
    validate(p);
    return {own ? own(learned, p) : built_in(learned, bench::with_engine(p))};
}

template <class Answer>
Answer checked(Answer answer) {
    if (const auto wrong = unusable(answer)) throw std::runtime_error(*wrong);
    return answer;
}

template <class Function>
py::class_<MadeUnit<Function>> bind_made(py::module_& m, const char* name, const char* says) {
    py::class_<MadeUnit<Function>> c(m, name, says);
    c.def(
        "__deepcopy__", [](const MadeUnit<Function>& u, const py::object&) { return MadeUnit<Function>(u); },
        py::arg("memo"));
    return c;
}

}  // namespace

void bind_made_units(py::module_& m) {
    bind_made<control::Unit>(m, "MadeController",
                             "A controller for one case, as make_controller() gives it; goes wherever a controller "
                             "does.")
        .def(
            "step", [](MadeController& c, const control::Input& in) { return checked(c.step(in)); }, py::arg("input"),
            "Its Command at this tick. Raises RuntimeError with one sentence for a command that cannot be used, and "
            "for what the controller itself raises.");
    bind_made<monitor::MonitorFunction>(m, "MadeMonitor", "A monitor for one case, as make_monitor() gives it.")
        .def(
            "step",
            [](MadeMonitor& u, const control::Input& in, const control::Command& last) {
                return to_python(checked(u.step(in, last)));
            },
            py::arg("input"), py::arg("last"),
            "Its MonitorAnswer, by the samples of this tick and the command of the tick before.");
    bind_made<control::LearnFunction>(m, "MadeLearn", "A range learn, as make_learn() gives it.")
        .def(
            "step", [](MadeLearn& u, const control::Input& in) { return to_python(u.step(in)); }, py::arg("input"),
            "Its LearnAnswer at this tick.");
    m.def(
        "make_controller",
        [](Given<bench::BenchParameters> p, const Range& learned, const py::object& factory) {
            return made_unit<control::Unit>(p, learned, controller_factory(factory), bench::built_in_controller);
        },
        py::arg("bench"), py::arg("learned") = py::none(), py::arg("factory") = py::none(),
        "The controller that a factory makes for this bench and learned range; without a factory the built-in one. "
        "`factory`: (learned, bench, period [s]) -> object with step(), or a SharedController.");
    m.def(
        "make_monitor",
        [](Given<bench::BenchParameters> p, const Range& learned, const py::object& factory) {
            return made_unit<monitor::MonitorFunction>(p, learned, monitor_factory(factory), bench::built_in_monitor);
        },
        py::arg("bench"), py::arg("learned") = py::none(), py::arg("factory") = py::none(), "The monitor likewise.");
    m.def(
        "make_learn",
        [](Given<bench::BenchParameters> p, const Range& before, const py::object& factory) {
            return made_unit<control::LearnFunction>(p, before, learn_factory(factory), bench::built_in_learn);
        },
        py::arg("bench"), py::arg("before") = py::none(), py::arg("factory") = py::none(),
        "The range learn likewise; `before`: what the memory holds.");
}

}  // namespace twintrack::python
