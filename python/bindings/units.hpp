// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "fields.hpp"
#include "twintrack/bench/units.hpp"

/// Controllers, monitors and learns written in Python. What they raise and what they answer wrongly ends their case;
/// Ctrl-C reaches the caller.
namespace twintrack::python {

/// Whether it is a unit (an object with step()) and no factory of units; None is neither.
[[nodiscard]] bool is_unit(const py::object& given);

/// A unit as it is; a copy of the function has a copy of the object, by copy.deepcopy.
[[nodiscard]] control::Unit controller_of(const py::object& unit);
[[nodiscard]] monitor::MonitorFunction monitor_of(const py::object& unit);

/// Factories: called with what was learned (or None), the bench and the control period [s]; None: an empty one. A
/// controller may be a SharedController. A learn may be an object with step(), for one learn.
[[nodiscard]] bench::ControllerFactory controller_factory(const py::object& given);
[[nodiscard]] bench::MonitorFactory monitor_factory(const py::object& given);
[[nodiscard]] bench::LearnFactory learn_factory(const py::object& given);

/// As twintrack.roles has them.
[[nodiscard]] py::object to_python(const monitor::MonitorAnswer& answer);
[[nodiscard]] py::object to_python(const control::LearnAnswer& answer);

}  // namespace twintrack::python
