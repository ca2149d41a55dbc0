// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cmath>

/// The operations a law may use besides + − × ÷. A law is a template on its number type and branches only through
/// these; another number type (a SIMD pack, a dual number) brings its own overloads, found by its namespace.
namespace twintrack {

[[nodiscard]] inline double select(bool condition, double yes, double no) noexcept { return condition ? yes : no; }
[[nodiscard]] inline double min(double a, double b) noexcept { return b < a ? b : a; }
[[nodiscard]] inline double max(double a, double b) noexcept { return a < b ? b : a; }
[[nodiscard]] inline double abs(double a) noexcept { return std::fabs(a); }
[[nodiscard]] inline double sqrt(double a) noexcept { return std::sqrt(a); }
/// Whether a condition holds anywhere: for a pack, in any of its lanes.
[[nodiscard]] inline bool any(bool condition) noexcept { return condition; }

/// `value` held between `low` and `high`.
template <class T>
[[nodiscard]] T clamp(T value, T low, T high) noexcept {
    return min(max(value, low), high);
}

}  // namespace twintrack
