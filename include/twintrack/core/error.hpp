// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <stdexcept>
#include <string>

namespace twintrack {

/// A user's mistake in a value: says where, what it was and what is allowed. Becomes ValueError in Python.
class InvalidParameter : public std::invalid_argument {
public:
    InvalidParameter(std::string where, const std::string& message)
        : std::invalid_argument(where + ": " + message), where_(std::move(where)) {}

    /// Dotted path of the offending value, such as "body.motor.resistance".
    [[nodiscard]] const std::string& where() const noexcept { return where_; }

private:
    std::string where_;
};

}  // namespace twintrack
