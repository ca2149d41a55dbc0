// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <type_traits>
#include <utility>

/// A = L D Lᵀ of a small symmetric positive definite matrix, without pivots or square roots, on the number type. Here
/// because for a handful of unknowns, whose number is not known to the compiler, the general library takes three times
/// as long, because this is done at each tick, and because lanes do many at once.
namespace twintrack::wiring {

/// Replaces the lower triangle of A [rows of `size`] by L below the diagonal and D on it, and gives 1/D; `row` is
/// scratch. `size` is an int or an integral_constant. Of the first `kept` rows the factors are there already, and
/// known to be positive. Whether A is positive definite; where it is not, the factors mean nothing.
template <class T, class Size>
[[nodiscard]] auto ldlt_factor(T* lower, T* inverse, T* row, Size size, int kept = 0) noexcept {
    const T zero(0.0), one(1.0);
    auto good = zero <= one;
    for (int j = 0; j < size; ++j) {
        T* const lj = lower + j * size;
        for (int k = 0; k < j; ++k) row[k] = lj[k] * lower[k * size + k];
        if (j >= kept) {
            T pivot = lj[j];
            for (int k = 0; k < j; ++k) pivot = pivot - lj[k] * row[k];
            good = good & (pivot > zero);
            lj[j] = pivot;
            inverse[j] = one / pivot;
        }
        for (int i = j + 1 > kept ? j + 1 : kept; i < size; ++i) {
            T* const li = lower + i * size;
            T value = li[j];
            for (int k = 0; k < j; ++k) value = value - li[k] * row[k];
            li[j] = value * inverse[j];
        }
    }
    return good;
}

/// x ← A⁻¹ x.
template <class T, class Size>
void ldlt_solve(const T* lower, const T* inverse, T* x, Size size) noexcept {
    for (int i = 1; i < size; ++i)
        for (int k = 0; k < i; ++k) x[i] = x[i] - lower[i * size + k] * x[k];
    for (int i = 0; i < size; ++i) x[i] = x[i] * inverse[i];
    for (int i = size; i-- > 1;)
        for (int k = 0; k < i; ++k) x[k] = x[k] - lower[i * size + k] * x[i];
}

// The same two of one net whose size the compiler knows, in registers: what has just been written is not read from
// memory, which by itself costs more than the arithmetic. Lanes have too much for registers.

namespace detail {

/// Calls `act` with 0, 1, … N − 1, each known to the compiler.
template <int N, class Act>
constexpr void for_each_below(Act&& act) noexcept {
    [&]<int... k>(std::integer_sequence<int, k...>) { (act(std::integral_constant<int, k>{}), ...); }
    (std::make_integer_sequence<int, N>{});
}

}  // namespace detail

template <int Size>
[[nodiscard, gnu::flatten]] bool ldlt_factor(double* lower, double* inverse, double*, std::integral_constant<int, Size>,
                                             int kept = 0) noexcept {
    double l[Size][Size], d[Size];
    bool good = true;
    detail::for_each_below<Size>([&](auto i) {
        detail::for_each_below<i + 1>([&](auto k) { l[i][k] = lower[i * Size + k]; });
        d[i] = inverse[i];
    });
    detail::for_each_below<Size>([&](auto j) {
        double row[Size];
        detail::for_each_below<j>([&](auto k) { row[k] = l[j][k] * l[k][k]; });
        if (j >= kept) {
            detail::for_each_below<j>([&](auto k) { l[j][j] = l[j][j] - l[j][k] * row[k]; });
            good = good && l[j][j] > 0.0;
            d[j] = 1.0 / l[j][j];
        }
        detail::for_each_below<Size - 1 - j>([&](auto below) {
            constexpr int i = j + 1 + below;
            if (i < kept) return;
            detail::for_each_below<j>([&](auto k) { l[i][j] = l[i][j] - l[i][k] * row[k]; });
            l[i][j] = l[i][j] * d[j];
        });
    });
    detail::for_each_below<Size>([&](auto i) {
        detail::for_each_below<i + 1>([&](auto k) { lower[i * Size + k] = l[i][k]; });
        inverse[i] = d[i];
    });
    return good;
}

template <int Size>
[[gnu::flatten]] void ldlt_solve(const double* lower, const double* inverse, double* x,
                                 std::integral_constant<int, Size>) noexcept {
    double y[Size];
    detail::for_each_below<Size>([&](auto i) {
        y[i] = x[i];
        detail::for_each_below<i>([&](auto k) { y[i] = y[i] - lower[i * Size + k] * y[k]; });
    });
    detail::for_each_below<Size>([&](auto i) { y[i] = y[i] * inverse[i]; });
    detail::for_each_below<Size>([&](auto done) {
        constexpr int i = Size - 1 - done;
        detail::for_each_below<i>([&](auto k) { y[k] = y[k] - lower[i * Size + k] * y[i]; });
    });
    detail::for_each_below<Size>([&](auto i) { x[i] = y[i]; });
}

}  // namespace twintrack::wiring
