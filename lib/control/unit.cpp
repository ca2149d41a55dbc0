// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/unit.hpp"

#include <array>
#include <cmath>
#include <cstdio>

namespace twintrack::control {

namespace {

struct Field {
    const char* name;
    double value;
};

std::string sentence(const Field& f, const char* allowed) {
    char value[32];
    std::snprintf(value, sizeof value, "%g", f.value);
    return std::string("the controller answered ") + f.name + " = " + value + "; allowed: " + allowed;
}

}  // namespace

std::optional<std::string> unusable(const Command& c) {
    using plant::BridgeMode;
    const Field duty{"duty", c.duty};
    if (!(std::fabs(c.duty) <= 1.0)) return sentence(duty, "-1 to 1");
    if (c.mode != BridgeMode::drive && c.mode != BridgeMode::brake && c.mode != BridgeMode::high_impedance)
        return "the controller answered a mode that there is not";
    for (const Field& f : {Field{"pedal", c.pedal}, Field{"demand", c.demand}, Field{"set_point", c.set_point},
                           Field{"opening", c.opening}})
        if (!std::isfinite(f.value)) return sentence(f, "a finite number");
    return {};
}

}  // namespace twintrack::control
