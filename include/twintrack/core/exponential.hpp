// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <bit>
#include <cstdint>

#include "twintrack/core/number.hpp"

namespace twintrack {

namespace detail {

/// 2ⁿ from x + 1.5·2⁵², whose low bits are the nearest integer n to x; taken from there because converting a NaN to an
/// integer is undefined.
[[nodiscard]] inline double power_of_two(double shifted) noexcept {
    return std::bit_cast<double>((std::bit_cast<std::uint64_t>(shifted) + 1023) << 52);
}

/// eʳ for |r| ≤ 0.347.
template <class T>
[[nodiscard, gnu::always_inline]] inline T exponential_series(T r) noexcept {
    const T r2 = r * r, r4 = r2 * r2;
    // Terms 1/k! in pairs: half the latency of Horner's rule.
    const auto pair = [&r](double even, double odd) { return T(even) + T(odd) * r; };
    const T low = pair(1.0, 1.0) + pair(1.0 / 2, 1.0 / 6) * r2;
    const T middle = pair(1.0 / 24, 1.0 / 120) + pair(1.0 / 720, 1.0 / 5040) * r2;
    const T high = pair(1.0 / 40320, 1.0 / 362880) + pair(1.0 / 3628800, 1.0 / 39916800) * r2;
    const T top = pair(1.0 / 479001600, 1.0 / 6227020800);
    return (low + middle * r4) + (high + top * r4) * (r4 * r4);
}

/// The law of `exponential`, for any number type that brings its own `power_of_two`.
template <class T>
[[nodiscard, gnu::always_inline]] inline T exponential_law(T x) noexcept {
    constexpr double log2_e = 0x1.71547652b82fep+0;
    constexpr double ln2_high = 0x1.62e42fee00000p-1;
    constexpr double ln2_low = 0x1.a39ef35793c76p-33;
    const T shift(0x1.8p52);  // adding it leaves the nearest integer in the low bits
    const T held = clamp(x, T(-700.0), T(700.0));
    const T shifted = held * T(log2_e) + shift;
    const T n = shifted - shift;
    const T r = (held - n * T(ln2_high)) - n * T(ln2_low);
    return exponential_series(r) * power_of_two(shifted);
}

}  // namespace detail

/// eˣ from additions and multiplications only, so that every compiler, level and lane width gives the same bits
/// (the C library's `exp` differs between versions). Within 2 units in the last place of it for |x| ≤ 700; held
/// at the ends beyond. x = n·ln 2 + r, eʳ by its Taylor polynomial of degree 13 (|r| ≤ 0.347: remainder 4e-18).
[[nodiscard]] inline double exponential(double x) noexcept {
    if (std::fabs(x) < 0.34) return detail::exponential_series(x);  // n = 0: the same bits, a quarter sooner
    return detail::exponential_law(x);
}

}  // namespace twintrack
