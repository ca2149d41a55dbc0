// SPDX-License-Identifier: BSD-3-Clause
#include "session_options.hpp"

#include "twintrack/control/shared_controller.hpp"
#include "units.hpp"

namespace twintrack::python {

using namespace bench;

SessionOptions options_of(Given<Learned> given, GivenFaults faults, const py::object& controller,
                          const py::object& monitor, GivenBrake brake, GivenHistory history) {
    SessionOptions options{.faults = fault::Schedule(faults.get("faults", "a list of Fault")),
                           .brake = brake.get("brake", a_stroke),
                           .history = history.get("history", "a FaultMemory").value_or(monitor::FaultMemory{})};
    if (Learned learned = given.get("learned", "a LearnedRange or a RangeStore")) {
        if (auto* range = std::get_if<control::LearnedRange>(&*learned)) options.learned = std::move(*range);
        if (auto* memory = std::get_if<control::RangeStore>(&*learned)) options.memory = std::move(*memory);
    }
    // Not a class, which has step() too and makes units when called.
    if (is_unit(controller))
        options.controller = controller_of(controller);
    else
        options.units.controller = controller_factory(controller);
    if (is_unit(monitor))
        options.monitor = monitor_of(monitor);
    else
        options.units.monitor = monitor_factory(monitor);
    return options;
}

}  // namespace twintrack::python
