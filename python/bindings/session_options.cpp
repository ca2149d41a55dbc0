// SPDX-License-Identifier: BSD-3-Clause
#include "session_options.hpp"

#include <stdexcept>

#include "twintrack/control/shared_controller.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::python {

using namespace bench;

namespace {

/// "ZeroDivisionError: division by zero (own.py, line 12)".
std::string told(py::error_already_set& e) {
    std::string text =
        py::str(e.type().attr("__name__")).cast<std::string>() + ": " + py::str(e.value()).cast<std::string>();
    py::object at = e.trace();
    if (!at || at.is_none()) return text;
    while (!at.attr("tb_next").is_none()) at = at.attr("tb_next");
    const auto file = at.attr("tb_frame").attr("f_code").attr("co_filename").cast<std::string>();
    return text + " (" + file.substr(file.find_last_of('/') + 1) + ", line " +
           py::str(at.attr("tb_lineno")).cast<std::string>() + ")";
}

control::Command answer_of(const py::object& step, const control::Input& in) {
    py::gil_scoped_acquire lock;
    py::object answer;
    try {
        answer = step(in);
    } catch (py::error_already_set& e) {
        if (e.matches(PyExc_Exception)) throw std::runtime_error(told(e));
        PyErr_SetInterrupt();  // Ctrl-C: the caller asks for it after the run
        throw std::runtime_error("interrupted");
    }
    if (!py::isinstance<control::Command>(answer))
        throw std::runtime_error("step() must return a Command; got " +
                                 py::str(py::type::of(answer).attr("__name__")).cast<std::string>());
    return answer.cast<control::Command>();
}

}  // namespace

control::Unit unit_of(const py::object& controller) {
    if (controller.is_none()) return {};
    if (!py::hasattr(controller, "step"))
        throw InvalidParameter("controller", "needs a method step(input) that returns a Command");
    // The last copy may die in C++ without the interpreter lock: release the object under it.
    auto held = std::shared_ptr<py::object>(new py::object(controller.attr("step")), [](py::object* o) {
        py::gil_scoped_acquire lock;
        delete o;
    });
    return [held](const control::Input& in) { return answer_of(*held, in); };
}

study::ControllerFactory factory_of(const py::object& factory) {
    if (factory.is_none()) return {};
    if (py::isinstance<control::SharedController>(factory))
        return [shared = factory.cast<control::SharedController>()](const std::optional<control::LearnedRange>& learned,
                                                                    const BenchParameters& bench) {
            return shared.make(learned, from_seconds(bench.control_period));
        };
    auto held = std::shared_ptr<py::object>(new py::object(factory), [](py::object* o) {
        py::gil_scoped_acquire lock;
        delete o;
    });
    return [held](const std::optional<control::LearnedRange>& learned, const BenchParameters& bench) {
        py::gil_scoped_acquire lock;
        try {
            return unit_of((*held)(learned, bench, bench.control_period));
        } catch (py::error_already_set& e) {
            throw std::runtime_error(told(e));
        }
    };
}

SessionOptions options_of(Given<Learned> given, GivenFaults faults, const py::object& controller, GivenBrake brake,
                          GivenHistory history, double period) {
    SessionOptions options{.faults = fault::Schedule(faults.get("faults", "a list of Fault")),
                           .brake = brake.get("brake", a_stroke),
                           .history = history.get("history", "a FaultMemory").value_or(monitor::FaultMemory{})};
    if (Learned learned = given.get("learned", "a LearnedRange or a RangeStore")) {
        if (auto* range = std::get_if<control::LearnedRange>(&*learned)) options.learned = std::move(*range);
        if (auto* memory = std::get_if<control::RangeStore>(&*learned)) options.memory = std::move(*memory);
    }
    options.controller = py::isinstance<control::SharedController>(controller)
                             ? controller.cast<control::SharedController>().make(options.learned, from_seconds(period))
                             : unit_of(controller);
    return options;
}

}  // namespace twintrack::python
