// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/fault/supply_profile.hpp"

namespace twintrack::fault {

namespace {

SupplyProfile start(const char* name, const char* meaning, double first, double second, double held, double rise) {
    const double low = 0.005, lift = low + 0.015, crank = lift + 0.050, let_go = crank + held;
    return {name,
            meaning,
            {{0.0, {0.0, first}},
             {low, {1.0, first}},
             {lift, {1.0, first}},
             {crank, {1.0, second}},
             {let_go, {1.0, second}},
             {let_go + rise, {0.0, second}}}};
}

}  // namespace

const std::vector<SupplyProfile>& supply_profiles() {
    static const std::vector<SupplyProfile> all = {
        {"momentary_drop",
         "ISO 16750-2:2023, 4.6.1.1: to 4.5 V for 100 ms",
         {{0.0, {0.0, 4.5}}, {0.010, {1.0, 4.5}}, {0.110, {1.0, 4.5}}, {0.120, {0.0, 4.5}}}},
        start("start_level_1", "ISO 16750-2:2023, 4.6.3, level I: engine start, 8.0 V, then 9.5 V for 1 s", 8.0, 9.5,
              1.0, 0.04),
        start("start_level_2", "ISO 16750-2:2023, 4.6.3, level II: engine start, 4.5 V, then 6.5 V for 10 s", 4.5, 6.5,
              10.0, 0.1),
        start("start_level_3", "ISO 16750-2:2023, 4.6.3, level III: engine start, 3.0 V, then 5.0 V for 1 s", 3.0, 5.0,
              1.0, 0.1),
        start("start_level_4", "ISO 16750-2:2023, 4.6.3, level IV: engine start, 6.0 V, then 6.5 V for 10 s", 6.0, 6.5,
              10.0, 0.1)};
    return all;
}

ImposedVoltage imposed_voltage(const SupplyProfile& profile, Time now) noexcept {
    const double t = seconds(now);
    const auto& points = profile.points;
    for (std::size_t k = 1; k < points.size(); ++k) {
        const auto &a = points[k - 1], &b = points[k];
        if (t < a.time || t >= b.time) continue;
        const double s = (t - a.time) / (b.time - a.time);
        return {a.imposed.share + s * (b.imposed.share - a.imposed.share),
                a.imposed.volts + s * (b.imposed.volts - a.imposed.volts)};
    }
    return {};
}

}  // namespace twintrack::fault
