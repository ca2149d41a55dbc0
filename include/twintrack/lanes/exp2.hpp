// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/core/exponential.hpp"

namespace twintrack::lanes {

/// 2ʸ for y ≤ 0, within 8·10⁻⁹ of itself: the shape of the Stribeck curve, whose parameters are not known to five
/// digits. Half the work of `exponential`; held below y = −1000. y = n + f, 2ᶠ by its Taylor polynomial of degree 7
/// (|f| ≤ 1/2: remainder (ln 2/2)⁸/8! of at least 1/√2).
template <class T>
[[nodiscard, gnu::always_inline]] inline T exp2_nonpositive(T y) noexcept {
    using detail::power_of_two;
    constexpr double ln2 = 0x1.62e42fefa39efp-1;
    constexpr double c2 = ln2 * ln2 / 2, c3 = c2 * ln2 / 3, c4 = c3 * ln2 / 4, c5 = c4 * ln2 / 5, c6 = c5 * ln2 / 6,
                     c7 = c6 * ln2 / 7;
    const T shift(0x1.8p52);  // adding it leaves the nearest integer in the low bits
    const T held = max(y, T(-1000.0));
    const T shifted = held + shift;
    const T f = held - (shifted - shift);
    const T f2 = f * f;
    const T low = (T(1.0) + T(ln2) * f) + (T(c2) + T(c3) * f) * f2;
    const T high = (T(c4) + T(c5) * f) + (T(c6) + T(c7) * f) * f2;
    return (low + high * (f2 * f2)) * power_of_two(shifted);
}

}  // namespace twintrack::lanes
