// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <bit>
#include <cstdint>

#include "twintrack/core/exponential.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack {

namespace detail {

/// e of a normal x = m·2ᵉ > 0 with √½ ≤ m < √2, as a number.
[[nodiscard]] inline double binary_exponent(double x) noexcept {
    constexpr std::uint64_t root_half = 0x3FE6A09E667F3BCD;  // the bits of √½
    return static_cast<double>(static_cast<std::int64_t>(std::bit_cast<std::uint64_t>(x) - root_half) >> 52);
}

/// The law of `logarithm`, for any number type that brings its own `binary_exponent` and `power_of_two`.
template <class T>
[[nodiscard, gnu::always_inline]] inline T logarithm_law(T x) noexcept {
    constexpr double ln2_high = 0x1.62e42fee00000p-1;
    constexpr double ln2_low = 0x1.a39ef35793c76p-33;
    const T one(1.0), two(2.0);
    const T held = clamp(x, T(0x1p-1022), T(0x1p1022));
    const T e = binary_exponent(held);
    const T m = held * power_of_two(T(0x1.8p52) - e);  // multiplied, not cut out of the bits, so that a NaN stays one
    const T s = (m - one) / (m + one);
    const T z = s * s, z2 = z * z, z4 = z2 * z2;
    const auto pair = [&z](double even, double odd) { return T(even) + z * T(odd); };
    const T low = pair(1.0 / 3, 1.0 / 5) + z2 * pair(1.0 / 7, 1.0 / 9);
    const T high = pair(1.0 / 11, 1.0 / 13) + z2 * pair(1.0 / 15, 1.0 / 17);
    const T sum = low + z4 * (high + z4 * pair(1.0 / 19, 1.0 / 21));
    return e * T(ln2_high) + (two * s + (two * s * z * sum + e * T(ln2_low)));
}

}  // namespace detail

/// ln x from the four operations only: the same bits everywhere, as `exponential`. Within 2 units in the last place;
/// x is held between the smallest normal number and 2¹⁰²². x = m·2ᵉ with √½ ≤ m < √2,
/// ln m = 2 artanh s, s = (m − 1)/(m + 1), by its Taylor polynomial of degree 21 (|s| ≤ 0.172: remainder 1e-18).
[[nodiscard]] inline double logarithm(double x) noexcept { return detail::logarithm_law(x); }

/// x^y = e^(y ln x) for x > 0; relative error about |y ln x| times the rounding of a double.
template <class T>
[[nodiscard]] T power(T x, T y) noexcept {
    return exponential(y * logarithm(x));
}

}  // namespace twintrack
