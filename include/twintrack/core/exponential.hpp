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
    const double held = clamp(x, -700.0, 700.0);
    const double shifted = held * log2_e + shift;
    const double n = shifted - shift;
    const double r = (held - n * ln2_high) - n * ln2_low;
    double term[] = {
        // 1/k!
        1.0,        1.0,         1.0 / 2,      1.0 / 6,       1.0 / 24,       1.0 / 120,       1.0 / 720,
        1.0 / 5040, 1.0 / 40320, 1.0 / 362880, 1.0 / 3628800, 1.0 / 39916800, 1.0 / 479001600, 1.0 / 6227020800};
    const auto fold = [&term](int count, double factor) {  // pairwise: half the latency of Horner's rule
        for (int k = 0; k < count; ++k) term[k] = term[2 * k] + term[2 * k + 1] * factor;
    };
    const double r2 = r * r, r4 = r2 * r2;
    fold(7, r), fold(3, r2);
    const double sum = (term[0] + term[1] * r4) + (term[2] + term[6] * r4) * (r4 * r4);
    // The low bits of `shifted` are n; taken from there because converting a NaN to an integer is undefined.
    const auto power = (std::bit_cast<std::uint64_t>(shifted) + 1023) << 52;
    return sum * std::bit_cast<double>(power);
}

}  // namespace twintrack
