// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <bit>
#include <cstdint>

#include "twintrack/core/exponential.hpp"
#include "twintrack/core/number.hpp"

namespace twintrack {

/// ln x from the four operations only: the same bits everywhere, as `exponential`. Within 2 units in the last place;
/// x is held between the smallest normal number and 2¹⁰²². x = m·2ᵉ with √½ ≤ m < √2,
/// ln m = 2 artanh s, s = (m − 1)/(m + 1), by its Taylor polynomial of degree 21 (|s| ≤ 0.172: remainder 1e-18).
[[nodiscard]] inline double logarithm(double x) noexcept {
    constexpr double ln2_high = 0x1.62e42fee00000p-1;
    constexpr double ln2_low = 0x1.a39ef35793c76p-33;
    constexpr std::uint64_t root_half = 0x3FE6A09E667F3BCD;  // the bits of √½
    const double held = clamp(x, 0x1p-1022, 0x1p1022);
    const auto exponent = static_cast<std::int64_t>(std::bit_cast<std::uint64_t>(held) - root_half) >> 52;
    // Multiplied, not cut out of the bits, so that a NaN stays one.
    const double m = held * std::bit_cast<double>(static_cast<std::uint64_t>(1023 - exponent) << 52);
    const double s = (m - 1.0) / (m + 1.0);
    const double z = s * s, z2 = z * z, z4 = z2 * z2;
    const double low = (1.0 / 3 + z * (1.0 / 5)) + z2 * (1.0 / 7 + z * (1.0 / 9));
    const double high = (1.0 / 11 + z * (1.0 / 13)) + z2 * (1.0 / 15 + z * (1.0 / 17));
    const double top = 1.0 / 19 + z * (1.0 / 21);
    const double sum = low + z4 * (high + z4 * top);
    const double e = static_cast<double>(exponent);
    return e * ln2_high + (2.0 * s + (2.0 * s * z * sum + e * ln2_low));
}

/// x^y = e^(y ln x) for x > 0; relative error about |y ln x| times the rounding of a double.
template <class T>
[[nodiscard]] T power(T x, T y) noexcept {
    return exponential(y * logarithm(x));
}

}  // namespace twintrack
