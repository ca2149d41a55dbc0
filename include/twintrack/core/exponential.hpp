// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <bit>
#include <cstdint>

#include "twintrack/core/number.hpp"

namespace twintrack {

/// eˣ from additions and multiplications only, so that every compiler, level and lane width gives the same bits
/// (the C library's `exp` differs between versions). Within 2 units in the last place of it for |x| ≤ 700; held
/// at the ends beyond. x = n·ln 2 + r, eʳ by its Taylor polynomial of degree 13 (|r| ≤ 0.347: remainder 4e-18).
[[nodiscard]] inline double exponential(double x) noexcept {
    constexpr double log2_e = 0x1.71547652b82fep+0;
    constexpr double ln2_high = 0x1.62e42fee00000p-1;
    constexpr double ln2_low = 0x1.a39ef35793c76p-33;
    constexpr double shift = 0x1.8p52;  // adding it leaves the nearest integer in the low bits
    constexpr double inverse_factorial[] = {
        1.0,        1.0,         1.0 / 2,      1.0 / 6,       1.0 / 24,       1.0 / 120,       1.0 / 720,
        1.0 / 5040, 1.0 / 40320, 1.0 / 362880, 1.0 / 3628800, 1.0 / 39916800, 1.0 / 479001600, 1.0 / 6227020800};
    const double held = clamp(x, -700.0, 700.0);
    const double shifted = held * log2_e + shift;
    const double n = shifted - shift;
    const double r = (held - n * ln2_high) - n * ln2_low;
    double sum = inverse_factorial[13];
    for (int k = 12; k >= 0; --k) sum = sum * r + inverse_factorial[k];
    const auto power = static_cast<std::uint64_t>(static_cast<std::int64_t>(n) + 1023) << 52;
    return sum * std::bit_cast<double>(power);
}

}  // namespace twintrack
