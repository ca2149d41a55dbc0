// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "twintrack/core/time.hpp"

namespace twintrack::fault {

/// A battery whose terminals are pulled to a voltage, and let go.
struct ImposedVoltage {
    double share = 0.0;  ///< 0: the battery as it is; 1: at `volts`
    double volts = 0.0;  ///< [V]

    bool operator==(const ImposedVoltage&) const = default;
};

/// A supply voltage over time, in straight lines between points:
///
///     U(t) = (1 − share(t)) U_battery + share(t) volts(t)
///
/// It begins and ends at the battery's own voltage, whatever that is.
struct SupplyProfile {
    const char* name;
    const char* meaning;
    struct Point {
        double time;  ///< [s] since the profile began
        ImposedVoltage imposed;
    };
    std::vector<Point> points;
};

/// ISO 16750-2:2023, 12 V systems, values known second-hand:
///
///     4.6.1.1  momentary drop     to 4.5 V for 100 ms, edges of 10 ms
///     4.6.3    starting profiles  down within 5 ms to U₁, 15 ms there, within 50 ms up to U₂ for t, back within t_r:
///                  level   I   U₁ 8.0 V, U₂ 9.5 V, t  1 s, t_r  40 ms
///                         II      4.5       6.5      10 s      100 ms
///                        III      3.0       5.0       1 s      100 ms
///                         IV      6.0       6.5      10 s      100 ms
///
/// The 2 Hz ripple on U₂ is left out, because no source for its size was at hand.
[[nodiscard]] const std::vector<SupplyProfile>& supply_profiles();

/// Where the profile is `now` after its beginning; nothing after its end.
[[nodiscard]] ImposedVoltage imposed_voltage(const SupplyProfile& profile, Time now) noexcept;

}  // namespace twintrack::fault
