// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <chrono>
#include <cstdint>

namespace twintrack {

/// The clock of a simulation: an integer number of microseconds, so that no two rates ever drift apart.
using Time = std::chrono::duration<std::int64_t, std::micro>;

[[nodiscard]] constexpr double seconds(Time t) noexcept { return static_cast<double>(t.count()) / 1e6; }

/// The nearest whole microsecond; what lies beyond ±9·10¹² s, or is no number, becomes that end.
[[nodiscard]] constexpr Time from_seconds(double s) noexcept {
    constexpr double most = 9e12;
    if (!(s > -most)) return Time{-static_cast<std::int64_t>(most) * 1'000'000};
    if (s > most) s = most;
    return Time{static_cast<std::int64_t>(s * 1e6 + (s < 0 ? -0.5 : 0.5))};
}

[[nodiscard]] constexpr Time milliseconds(std::int64_t ms) noexcept { return Time{ms * 1000}; }

}  // namespace twintrack
