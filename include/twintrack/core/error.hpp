// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <stdexcept>
#include <string>

namespace twintrack {

/// The text, or its beginning and end with "…" between when it is longer than `most` bytes; never inside a UTF-8
/// character. What a message repeats may be of any length, a message may not.
[[nodiscard]] inline std::string shortened(const std::string& text, std::size_t most) {
    if (text.size() <= most) return text;
    const auto inside = [&](std::size_t i) { return (static_cast<unsigned char>(text[i]) & 0xC0) == 0x80; };
    std::size_t head = most * 2 / 3, tail = text.size() - (most - head);
    while (head > 0 && inside(head)) --head;
    while (tail < text.size() && inside(tail)) ++tail;
    return text.substr(0, head) + " … " + text.substr(tail);
}

/// A user's error in a value: says where, what it was and what is allowed. Becomes ValueError in Python.
class InvalidParameter : public std::invalid_argument {
public:
    InvalidParameter(const std::string& where, const std::string& message)
        : std::invalid_argument(shortened(where, 200) + ": " + shortened(message, 1400)),
          where_(shortened(where, 200)) {}

    /// Dotted path of the offending value, such as "body.motor.resistance".
    [[nodiscard]] const std::string& where() const noexcept { return where_; }

private:
    std::string where_;
};

}  // namespace twintrack
