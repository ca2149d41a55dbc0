// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>
#include <bit>
#include <cstdint>

namespace twintrack::bench {

/// x^(−1/5) of a normal positive number within 3e-5, by additions and multiplications only: the same bits everywhere,
/// which the C library's `pow` does not give. The exponent's bits give it within 4 %, two steps of Newton's method the
/// rest.
[[nodiscard]] inline double inverse_fifth_root(double x) noexcept {
    constexpr std::uint64_t one = 0x3ff0000000000000;
    constexpr std::uint64_t middle = one + one / 5 - static_cast<std::uint64_t>(0.06 * 0x1p52);  // least error
    double y = std::bit_cast<double>(middle - std::bit_cast<std::uint64_t>(x) / 5);
    for (int k = 0; k < 2; ++k) {
        const double y2 = y * y;
        y = y * (1.2 - 0.2 * x * (y2 * y2 * y));
    }
    return y;
}

/// How Boost.Odeint is to change the step of the Dormand–Prince pair for an error in units of the tolerance: 9/10 of
/// what the error allows, whose local part grows with the fifth power of the step; by a factor from 1/5 to 4.5, and no
/// growth for an error above one half. Literature: Hairer, Nørsett, Wanner 1993, section II.4.
class StepAdjuster {
public:
    [[nodiscard]] double decrease_step(double step, double error, int) const noexcept {
        return step * std::max(0.9 * inverse_fifth_root(std::min(error, 1e4)), 0.2);
    }
    [[nodiscard]] double increase_step(double step, double error, int) const noexcept {
        return error < 0.5 ? step * 0.9 * inverse_fifth_root(std::max(error, 3.2e-4)) : step;
    }
    [[nodiscard]] static bool check_step_size_limit(double) noexcept { return true; }
    [[nodiscard]] static double get_max_dt() noexcept { return 0.0; }  // none
};

}  // namespace twintrack::bench
