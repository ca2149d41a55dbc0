// SPDX-License-Identifier: BSD-3-Clause
// Controllers stepped by hand, without a bench around them.
#include <stdexcept>

#include "session_options.hpp"
#include "twintrack/bench/built_in.hpp"
#include "twintrack/bench/engine_loop.hpp"

namespace twintrack::python {

namespace {

/// What a factory has made for one case.
struct MadeController {
    control::Unit unit;
};

MadeController made_controller(Given<bench::BenchParameters> given, const std::optional<control::LearnedRange>& learned,
                               const py::object& factory) {
    const bench::BenchParameters p = given.get("bench", a_bench);
    validate(p);
    if (!factory.is_none()) return {factory_of(factory)(learned, p)};
    return {bench::built_in_controller(learned, bench::with_engine(p))};
}

control::Command one_tick(MadeController& c, const control::Input& in) {
    control::Command command = c.unit(in);
    if (const auto wrong = control::unusable(command)) throw std::runtime_error(*wrong);
    return command;
}

}  // namespace

void bind_controller(py::module_& m) {
    py::class_<MadeController>(m, "MadeController",
                               "A controller for one case, as make_controller() gives it; goes wherever a controller "
                               "does.")
        .def("step", &one_tick, py::arg("input"),
             "Its Command at this tick. Raises RuntimeError with one sentence for a command that cannot be used, and "
             "for what the controller itself raises.");
    m.def("make_controller", &made_controller, py::arg("bench"), py::arg("learned") = py::none(),
          py::arg("factory") = py::none(),
          "The controller that a factory makes for this bench and learned range; without a factory the built-in one. "
          "`factory`: (learned, bench, period [s]) -> object with step(), or a SharedController.");
}

}  // namespace twintrack::python
