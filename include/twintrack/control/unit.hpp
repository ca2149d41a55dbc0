// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>

#include "twintrack/control/signals.hpp"

namespace twintrack::control {

/// A controller of any making: whatever has `Command step(const Input&)`.
using Unit = std::function<Command(const Input&)>;

}  // namespace twintrack::control
