// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <variant>

#include "given.hpp"
#include "twintrack/bench/session.hpp"
#include "twintrack/study/case.hpp"

/// What `run`, a session and a study are given from Python.
namespace twintrack::python {

/// What the controller knows: a range, or a memory that it reads at key-on and may refuse.
using Learned = std::optional<std::variant<control::LearnedRange, control::RangeStore>>;

using GivenFaults = Given<std::vector<fault::Fault>>;
using GivenBrake = Given<std::optional<bench::Stroke>>;
using GivenHistory = Given<std::optional<monitor::FaultMemory>>;

constexpr const char* a_bench = "BenchParameters";
constexpr const char* a_stroke = "a Stroke";

/// A controller written in Python: any object with `step(input) -> Command`; none: the built-in one. What it raises and
/// what it answers wrongly ends the run; Ctrl-C reaches the caller.
[[nodiscard]] control::Unit unit_of(const py::object& controller);

/// A factory written in Python: called with what was learned (or None), the bench and the control period [s].
[[nodiscard]] study::ControllerFactory factory_of(const py::object& factory);

/// `period` [s] of the control ticks.
[[nodiscard]] bench::SessionOptions options_of(Given<Learned> learned, GivenFaults faults, const py::object& controller,
                                               GivenBrake brake, GivenHistory history, double period);

}  // namespace twintrack::python
