// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <cstddef>

#include "twintrack/core/exponential.hpp"
#include "twintrack/core/logarithm.hpp"

namespace twintrack {

/// A number with its derivatives by N quantities: forward differentiation of the very laws that are simulated.
///
///     f(a + a'ε) = f(a) + f'(a) a'ε,  ε² = 0
///
/// Exact to rounding. Where a law bends (|x|, min, max) the slope is that of the branch taken; of |x| at 0 it is +1.
/// Literature: A. Griewank, A. Walther, Evaluating Derivatives, SIAM 2008, ch. 3 (from memory).
template <std::size_t N>
struct Dual {
    double value = 0.0;
    std::array<double, N> slope{};

    Dual() = default;
    Dual(double v) noexcept : value(v) {}  // NOLINT: a plain number is a constant
    Dual(double v, std::size_t seed) noexcept : value(v) { slope[seed] = 1.0; }

    [[nodiscard]] static Dual chain(double v, const Dual& a, double by_a) noexcept {
        Dual r(v);
        for (std::size_t k = 0; k < N; ++k) r.slope[k] = by_a * a.slope[k];
        return r;
    }
    [[nodiscard]] static Dual chain(double v, const Dual& a, double by_a, const Dual& b, double by_b) noexcept {
        Dual r(v);
        for (std::size_t k = 0; k < N; ++k) r.slope[k] = by_a * a.slope[k] + by_b * b.slope[k];
        return r;
    }
    friend Dual operator-(const Dual& a) noexcept { return chain(-a.value, a, -1.0); }
    friend Dual operator+(const Dual& a, const Dual& b) noexcept { return chain(a.value + b.value, a, 1.0, b, 1.0); }
    friend Dual operator-(const Dual& a, const Dual& b) noexcept { return chain(a.value - b.value, a, 1.0, b, -1.0); }
    friend Dual operator*(const Dual& a, const Dual& b) noexcept {
        return chain(a.value * b.value, a, b.value, b, a.value);
    }
    friend Dual operator/(const Dual& a, const Dual& b) noexcept {
        const double inverse = 1.0 / b.value, q = a.value / b.value;
        return chain(q, a, inverse, b, -q * inverse);
    }
    friend bool operator>(const Dual& a, const Dual& b) noexcept { return a.value > b.value; }
    friend bool operator<(const Dual& a, const Dual& b) noexcept { return a.value < b.value; }
    friend bool operator>=(const Dual& a, const Dual& b) noexcept { return a.value >= b.value; }
    friend bool operator<=(const Dual& a, const Dual& b) noexcept { return a.value <= b.value; }

    friend Dual select(bool condition, const Dual& yes, const Dual& no) noexcept { return condition ? yes : no; }
    friend Dual min(const Dual& a, const Dual& b) noexcept { return b < a ? b : a; }
    friend Dual max(const Dual& a, const Dual& b) noexcept { return a < b ? b : a; }
    friend Dual abs(const Dual& a) noexcept { return a.value < 0.0 ? -a : a; }
    friend Dual sqrt(const Dual& a) noexcept {
        const double root = twintrack::sqrt(a.value);
        return chain(root, a, 0.5 / root);
    }
    friend Dual exponential(const Dual& a) noexcept {
        const double e = twintrack::exponential(a.value);
        return chain(e, a, e);
    }
    friend Dual logarithm(const Dual& a) noexcept { return chain(twintrack::logarithm(a.value), a, 1.0 / a.value); }
    /// For laws that split 2ˣ into a whole and a broken part: the whole one carries all of the slope.
    friend Dual power_of_two(const Dual& shifted) noexcept {
        constexpr double ln2 = 0x1.62e42fefa39efp-1;
        const double p = detail::power_of_two(shifted.value);
        return chain(p, shifted, ln2 * p);
    }
};

}  // namespace twintrack
