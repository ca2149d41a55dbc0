// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/engine/idle_parameters.hpp"

#include "twintrack/core/error.hpp"
#include "twintrack/core/table.hpp"

namespace twintrack::engine {

void check(const IdleTargetParameters& p, const std::string& path) {
    (void)Table(p.coolant, p.speed, dotted(path, "speed"));
    (void)Table(p.coolant, p.area, dotted(path, "area"));
}

void check(const IdleAirParameters& p, const std::string& path) {
    if (p.most <= p.least) throw InvalidParameter(dotted(path, "most"), "the largest opening must exceed the smallest");
}

void check(const IdleSparkParameters& p, const std::string& path) {
    if (p.base > p.most)
        throw InvalidParameter(dotted(path, "base"), "the spark retard at the target must not exceed the most");
}

void check(const IdleEntryParameters& p, const std::string& path) {
    if (p.pedal_pressed < p.pedal_released)
        throw InvalidParameter(dotted(path, "pedal_pressed"),
                               "a pedal counts as pressed only above the travel at which it counts as released");
    if (p.resume_above >= p.cut_above)
        throw InvalidParameter(dotted(path, "resume_above"), "fuel must resume below the speed that cuts it");
}

}  // namespace twintrack::engine
