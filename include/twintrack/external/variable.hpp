// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/core/fields.hpp"

namespace twintrack::external {

/// When a variable may be set.
enum class Role {
    parameter,  ///< before the start
    tunable,    ///< before and between steps
    input,      ///< likewise; it is what the surroundings do
    output      ///< never
};

constexpr std::array<std::pair<Role, const char*>, 4> names(Tag<Role>) {
    return {
        {{Role::parameter, "parameter"}, {Role::tunable, "tunable"}, {Role::input, "input"}, {Role::output, "output"}}};
}

/// What another program reads or sets, known by its number and its name.
struct Variable {
    std::string name;
    Kind kind;  ///< number, integer, flag, choice (a number from 0 that counts `choices`), or text
    Role role;
    std::string unit{};
    std::string meaning{};
    Range range{};
    std::vector<const char*> choices{};
};

}  // namespace twintrack::external
