// SPDX-License-Identifier: BSD-3-Clause
#pragma once

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

}  // namespace twintrack::wiring
