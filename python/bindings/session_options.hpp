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

/// `controller`, `monitor`: a unit, or a factory that makes one now and after each reset; None: the built-in one.
[[nodiscard]] bench::SessionOptions options_of(Given<Learned> learned, GivenFaults faults, const py::object& controller,
                                               const py::object& monitor, GivenBrake brake, GivenHistory history);

}  // namespace twintrack::python
