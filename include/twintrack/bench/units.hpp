// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <optional>

#include "twintrack/bench/parameters.hpp"
#include "twintrack/control/learn_unit.hpp"
#include "twintrack/monitor/unit.hpp"

namespace twintrack::bench {

/// What may be replaced of a bench, each alone: controller, monitor, range learn. A factory makes one for each case,
/// from what was learned (absent: nothing; to a learn: what the memory holds before) and the bench, whose
/// `control_period` is the time between two ticks. It is called on the thread that runs the case, and once more for
/// controller and monitor after each reset. What a factory throws before the first tick is thrown as InvalidParameter;
/// whatever a unit throws later, and whatever it answers wrongly, ends its case with the status "unit failed".
template <class Made>
using Factory = std::function<Made(const std::optional<control::LearnedRange>& learned, const BenchParameters& bench)>;

using ControllerFactory = Factory<control::Unit>;
using MonitorFactory = Factory<monitor::MonitorFunction>;
using LearnFactory = Factory<control::LearnFunction>;

/// Factories of what is replaced; an empty one means the built-in unit.
struct Units {
    ControllerFactory controller{};
    MonitorFactory monitor{};
    LearnFactory learn{};
};

/// The built-in units by the same factories. The bench is one that with_engine() has gone over.
[[nodiscard]] control::Unit built_in_controller(const std::optional<control::LearnedRange>& learned,
                                                const BenchParameters& p);
[[nodiscard]] monitor::MonitorFunction built_in_monitor(const std::optional<control::LearnedRange>& learned,
                                                        const BenchParameters& p);
[[nodiscard]] control::LearnFunction built_in_learn(const std::optional<control::LearnedRange>& before,
                                                    const BenchParameters& p);

/// What a factory makes; InvalidParameter naming the `role` for what it throws, or when it makes nothing.
template <class Made>
[[nodiscard]] Made made(const Factory<Made>& factory, const char* role,
                        const std::optional<control::LearnedRange>& learned, const BenchParameters& p);

}  // namespace twintrack::bench
