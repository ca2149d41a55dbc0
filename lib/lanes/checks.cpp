// SPDX-License-Identifier: BSD-3-Clause
#include "checks.hpp"

#include <algorithm>
#include <array>

#include "twintrack/core/fields.hpp"

namespace twintrack::lanes {

namespace {

using monitor::CheckParameters;

constexpr const char* by_track = "host_conditions.hpp: a track outside its band or its ends, a jump";
constexpr const char* by_motor = "host_conditions.hpp: duty, current and speed of the blade";
constexpr const char* by_clock = "the lane keeps its clock";
constexpr const char* exact = "what it finds is for the exact solver (bench::exact_only)";
constexpr const char* looked = "a case with something to see there is decided alone";

constexpr std::array table{
    LaneCheck{"range", false, by_track},
    LaneCheck{"correlation", false, "host_conditions.hpp: tracks apart"},
    LaneCheck{"blind", true, "no track is doubted while the lane sleeps"},
    LaneCheck{"deviation", false, "host_conditions.hpp: blade away from its set point"},
    LaneCheck{"not_closing", true, "made without power, which a code takes away"},
    LaneCheck{"volts.check", false, looked},
    LaneCheck{"rate.check", false, by_track},
    LaneCheck{"stuck.check", false, "supervision_bounds.hpp: a track that stands while its partner moves"},
    LaneCheck{"drift.check", false, by_track},
    LaneCheck{"motion.open", false, by_motor},
    LaneCheck{"motion.overload", false, by_motor},
    LaneCheck{"motion.stalled", false, by_motor},
    LaneCheck{"motion.blocked", false, by_motor},
    LaneCheck{"motion.against", false, by_motor},
    LaneCheck{"return_spring.check", false, "host_conditions.hpp: blade without power above its default"},
    LaneCheck{"default_position.check", false, "made until the motor has power; its lane is awake until then"},
    LaneCheck{"supply.check", false, "host_conditions.hpp: supply outside its window"},
    LaneCheck{"reference.check", false, "host_conditions.hpp: reference outside its window"},
    LaneCheck{"electronics.reset", true, exact},
    LaneCheck{"electronics.resets", true, exact},
    LaneCheck{"electronics.shorted", true, exact},
    LaneCheck{"electronics.off_open", true, exact},
    LaneCheck{"electronics.hot", true, exact},
    LaneCheck{"brake.check", true, looked},
    LaneCheck{"brake.sensor", true, looked},
    LaneCheck{"idle_switch.check", true, "lanes refuse the switch"},
    LaneCheck{"air_flow.check", false, "engine_lane.hpp: air flow away from its table"},
    LaneCheck{"idle_speed.low", true, by_clock},
    LaneCheck{"idle_speed.high", true, by_clock},
    LaneCheck{"idle_speed.system", true, by_clock},
};

bool slept_through_safely(const std::string& path, const CheckParameters& p) {
    const auto row = std::find_if(table.begin(), table.end(), [&](const LaneCheck& c) { return path == c.path; });
    return row != table.end() && (row->may_count || p.counting != monitor::Counting::counter);
}

std::string missed_in(const Description& described, const void* value, const std::string& path) {
    for (const Field& f : described.fields) {
        if (f.type->kind != Kind::part) continue;
        const std::string here = dotted(path, f.name);
        if (&f.type->part() == &description(Tag<CheckParameters>{})) {
            const auto& check = f.as<CheckParameters>(value);
            if (check.enabled && !slept_through_safely(here, check)) return here;
        } else if (const std::string found = missed_in(f.type->part(), f.in(value), here); !found.empty()) {
            return found;
        }
    }
    return {};
}

}  // namespace

std::span<const LaneCheck> lane_checks() { return table; }

std::string missed_check(const monitor::MonitorParameters& m) {
    return missed_in(description(Tag<monitor::MonitorParameters>{}), &m, {});
}

}  // namespace twintrack::lanes
