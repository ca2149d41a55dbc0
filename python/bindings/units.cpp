// SPDX-License-Identifier: BSD-3-Clause
#include "units.hpp"

#include <memory>
#include <stdexcept>

#include "given.hpp"
#include "twintrack/control/shared_controller.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::python {

namespace {

using bench::BenchParameters;
using Learned = std::optional<control::LearnedRange>;
using Held = std::shared_ptr<py::object>;

/// The last copy may die in C++ without the interpreter lock: the object is released under it.
Held held(py::object o) {
    return {new py::object(std::move(o)), [](py::object* p) {
                py::gil_scoped_acquire lock;
                delete p;
            }};
}

std::string type_name(const py::object& o) { return py::str(py::type::of(o).attr("__name__")).cast<std::string>(); }

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

/// Runs Python; what it raises becomes a sentence.
template <class Work>
auto guarded(Work&& work) {
    try {
        return work();
    } catch (py::error_already_set& e) {
        if (e.matches(PyExc_Exception)) throw std::runtime_error(told(e));
        PyErr_SetInterrupt();  // Ctrl-C: the caller asks for it after the run
        throw std::runtime_error("interrupted");
    }
}

/// The method step() of an object; a copy has a copy of the object.
class Step {
public:
    explicit Step(const py::object& unit) : unit_(held(unit)), step_(held(unit.attr("step"))) {}
    Step(const Step& other) {
        py::gil_scoped_acquire lock;
        *this = Step(py::module_::import("copy").attr("deepcopy")(*other.unit_).cast<py::object>());
    }
    Step(Step&&) noexcept = default;
    Step& operator=(const Step&) = delete;
    Step& operator=(Step&&) noexcept = default;
    ~Step() = default;

    template <class... Given>
    py::object operator()(const Given&... given) const {
        return guarded([&] { return (*step_)(given...); });
    }

private:
    Held unit_, step_;
};

[[noreturn]] void refuse_answer(const char* expected, const py::object& got) {
    throw std::runtime_error(std::string("step() must return ") + expected + "; got " + type_name(got));
}

control::Command command_of(const py::object& answer) {
    if (!py::isinstance<control::Command>(answer)) refuse_answer("a Command", answer);
    return answer.cast<control::Command>();
}

monitor::MonitorAnswer monitor_answer(const py::object& given) {
    constexpr const char* expected = "a MonitorAnswer or the name of a reaction";
    if (py::isinstance<py::str>(given)) return {.reaction = enumerator<monitor::Reaction>(given, "reaction")};
    if (!py::isinstance<py::tuple>(given)) refuse_answer(expected, given);
    const auto all = py::reinterpret_borrow<py::tuple>(given);
    if (all.size() != 5) refuse_answer(expected, given);
    try {
        return {enumerator<monitor::Reaction>(all[0], "reaction"), all[1].cast<std::vector<std::string>>(),
                all[2].cast<std::optional<monitor::Action>>(), all[3].cast<control::Trust>(),
                all[4].cast<control::Trust>()};
    } catch (const py::cast_error&) {
        throw std::runtime_error("step() returned " + py::repr(given).cast<std::string>().substr(0, 200) +
                                 "; codes must be a list of texts, orders an Action or None, trust three flags");
    }
}

control::LearnAnswer learn_answer(const py::object& given) {
    constexpr const char* expected = "a Command or a LearnAnswer";
    if (py::isinstance<control::Command>(given)) return {.command = given.cast<control::Command>()};
    if (!py::isinstance<py::tuple>(given)) refuse_answer(expected, given);
    const auto all = py::reinterpret_borrow<py::tuple>(given);
    if (all.size() != 3) refuse_answer(expected, given);
    try {
        const auto accepted = all[1].cast<Learned>();
        const auto refused = all[2].cast<std::optional<std::string>>();
        if (accepted && refused) throw std::runtime_error("a learn is accepted or refused, not both");
        return {all[0].cast<control::Command>(), accepted || refused, accepted, refused.value_or("")};
    } catch (const py::cast_error&) {
        throw std::runtime_error(
            "step() returned " + py::repr(given).cast<std::string>().substr(0, 200) +
            "; command must be a Command, accepted a LearnedRange or None, refused a text or None");
    }
}

void needs_step(const py::object& unit, const char* role) {
    if (!py::hasattr(unit, "step"))
        throw InvalidParameter(role, std::string("needs a method step(); a ") + type_name(unit) + " has none");
}

control::LearnFunction learn_of(const py::object& unit) {
    needs_step(unit, "learn");
    return [step = Step(unit)](const control::Input& in) {
        py::gil_scoped_acquire lock;
        return learn_answer(step(in));
    };
}

/// A factory of Python, whose units `wrap` makes functions.
template <class Made>
bench::Factory<Made> factory_of(const py::object& given, const char* role, Made (*wrap)(const py::object&)) {
    if (given.is_none()) return {};
    if (PyCallable_Check(given.ptr()) == 0)
        refuse(role, "an object with step(), or a factory (learned, bench, period) of one", given);
    return [factory = held(given), wrap](const Learned& learned, const BenchParameters& p) {
        py::gil_scoped_acquire lock;
        return guarded([&] { return wrap((*factory)(learned, p, p.control_period)); });
    };
}

}  // namespace

bool is_unit(const py::object& given) { return py::hasattr(given, "step") && PyType_Check(given.ptr()) == 0; }

control::Unit controller_of(const py::object& unit) {
    if (!py::hasattr(unit, "step"))
        throw InvalidParameter("controller", "needs a method step(input) that returns a Command");
    return [step = Step(unit)](const control::Input& in) {
        py::gil_scoped_acquire lock;
        return command_of(step(in));
    };
}

monitor::MonitorFunction monitor_of(const py::object& unit) {
    needs_step(unit, "monitor");
    return [step = Step(unit)](const control::Input& in, const control::Command& last) {
        py::gil_scoped_acquire lock;
        return monitor_answer(step(in, last));
    };
}

bench::ControllerFactory controller_factory(const py::object& given) {
    if (!py::isinstance<control::SharedController>(given))
        return factory_of<control::Unit>(given, "controller", &controller_of);
    return [shared = given.cast<control::SharedController>()](const Learned& learned, const BenchParameters& p) {
        return shared.make(learned, from_seconds(p.control_period));
    };
}

bench::MonitorFactory monitor_factory(const py::object& given) {
    return factory_of<monitor::MonitorFunction>(given, "monitor", &monitor_of);
}

bench::LearnFactory learn_factory(const py::object& given) {
    if (!is_unit(given)) return factory_of<control::LearnFunction>(given, "learn", &learn_of);
    return [unit = held(given)](const Learned&, const BenchParameters&) {
        py::gil_scoped_acquire lock;
        return learn_of(*unit);
    };
}

py::object to_python(const monitor::MonitorAnswer& a) {
    return py::module_::import("twintrack.roles")
        .attr("MonitorAnswer")(name_of(a.reaction), py::cast(a.codes), py::cast(a.orders), py::cast(a.pedal_trust),
                               py::cast(a.throttle_trust));
}

py::object to_python(const control::LearnAnswer& a) {
    return py::module_::import("twintrack.roles")
        .attr("LearnAnswer")(a.command, py::cast(a.range),
                             a.finished && !a.range ? py::object(py::str(a.reason)) : py::object(py::none()));
}

}  // namespace twintrack::python
