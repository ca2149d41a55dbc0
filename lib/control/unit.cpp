// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/unit.hpp"

#include <array>
#include <cmath>
#include <cstdio>
#include <utility>

namespace twintrack::control {

std::string wrong_answer(const char* who, const std::string& field, double value, const char* allowed) {
    char text[32];
    std::snprintf(text, sizeof text, "%g", value);
    return std::string(who) + " answered " + field + " = " + text + "; allowed: " + allowed;
}

std::optional<std::string> unusable(const Command& c, const char* who) {
    using plant::BridgeMode;
    if (!(std::fabs(c.duty) <= 1.0)) return wrong_answer(who, "duty", c.duty, "-1 to 1");
    if (c.mode != BridgeMode::drive && c.mode != BridgeMode::brake && c.mode != BridgeMode::high_impedance)
        return std::string(who) + " answered a mode that there is not";
    const std::array<std::pair<const char*, double>, 4> believed = {
        {{"pedal", c.pedal}, {"demand", c.demand}, {"set_point", c.set_point}, {"opening", c.opening}}};
    for (const auto& [name, value] : believed)
        if (!std::isfinite(value)) return wrong_answer(who, name, value, "a finite number");
    return {};
}

}  // namespace twintrack::control
