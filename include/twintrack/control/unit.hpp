// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <optional>
#include <string>

#include "twintrack/control/signals.hpp"

namespace twintrack::control {

/// A controller of any making: whatever has `Command step(const Input&)`. A copy of it must be independent of what it
/// was copied from, as a lambda's with its state inside is; then a session can be forked.
using Unit = std::function<Command(const Input&)>;

/// What is wrong with a command: field, value and what is allowed, in one sentence; nothing when it can be used.
/// A duty is −1 … 1, a mode one of those there are, and what the controller believes a finite number.
[[nodiscard]] std::optional<std::string> unusable(const Command& command);

}  // namespace twintrack::control
