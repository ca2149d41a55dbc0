// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <chrono>
#include <cstdint>

namespace twintrack {

/// The clock of a simulation: an integer number of microseconds, so that no two rates ever drift apart.
using Time = std::chrono::duration<std::int64_t, std::micro>;

[[nodiscard]] constexpr double seconds(Time t) noexcept { return static_cast<double>(t.count()) / 1e6; }

/// The nearest whole microsecond.
[[nodiscard]] constexpr Time from_seconds(double s) noexcept {
    return Time{static_cast<std::int64_t>(s * 1e6 + (s < 0 ? -0.5 : 0.5))};
}

[[nodiscard]] constexpr Time milliseconds(std::int64_t ms) noexcept { return Time{ms * 1000}; }

}  // namespace twintrack
