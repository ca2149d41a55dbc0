// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <optional>
#include <stdexcept>
#include <string>

#include "twintrack/control/signals.hpp"

namespace twintrack::control {

/// A controller of any making: whatever has `Command step(const Input&)`. A copy of it must be independent of what it
/// was copied from, as a lambda's with its state inside is; then a session can be forked.
using Unit = std::function<Command(const Input&)>;

/// Thrown for a unit (controller, learn, monitor) that fails: one sentence that names it, for the outcome of its case.
class UnitFailure : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// Asks a unit; whatever it throws becomes a UnitFailure that says who failed ("the monitor").
template <class Ask>
auto asked(const char* who, Ask&& ask) {
    try {
        return ask();
    } catch (const UnitFailure&) {
        throw;
    } catch (const std::exception& e) {
        throw UnitFailure(std::string(who) + " failed: " + e.what());
    }
}

/// What is wrong with a command: field, value and what is allowed, in one sentence; nothing when it can be used.
/// A duty is −1 … 1, a mode one of those there are, and what the controller believes a finite number. `who` gave it.
[[nodiscard]] std::optional<std::string> unusable(const Command& command, const char* who = "the controller");

/// "the monitor answered duty = 3; allowed: -1 to 1".
[[nodiscard]] std::string wrong_answer(const char* who, const std::string& field, double value, const char* allowed);

}  // namespace twintrack::control
