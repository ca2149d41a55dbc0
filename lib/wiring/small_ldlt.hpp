// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <vector>

namespace twintrack::wiring {

/// A = L D Lᵀ of a small symmetric positive definite matrix, without pivots or square roots. Here because for a handful
/// of unknowns, whose number is not known to the compiler, the general library takes three times as long, and this is
/// done at each tick.
class SmallLdlt {
public:
    explicit SmallLdlt(std::size_t size = 0) : size_(size), lower_(size * size), inverse_(size), row_(size) {}

    /// Entry of A to be factored; only k ≥ l is read.
    double& at(std::size_t k, std::size_t l) { return lower_[k * size_ + l]; }

    /// Replaces A by its factors. False when A is not positive definite.
    bool factor() {
        for (std::size_t j = 0; j < size_; ++j) {
            double* const lj = &lower_[j * size_];
            double pivot = lj[j];
            for (std::size_t k = 0; k < j; ++k) {
                row_[k] = lj[k] * diagonal(k);
                pivot -= lj[k] * row_[k];
            }
            if (!(pivot > 0.0)) return false;
            lj[j] = pivot;
            inverse_[j] = 1.0 / pivot;
            for (std::size_t i = j + 1; i < size_; ++i) {
                double* const li = &lower_[i * size_];
                double value = li[j];
                for (std::size_t k = 0; k < j; ++k) value -= li[k] * row_[k];
                li[j] = value * inverse_[j];
            }
        }
        return true;
    }

    /// x ← A⁻¹ x.
    void solve(double* x) const {
        for (std::size_t i = 1; i < size_; ++i)
            for (std::size_t k = 0; k < i; ++k) x[i] -= lower_[i * size_ + k] * x[k];
        for (std::size_t i = 0; i < size_; ++i) x[i] *= inverse_[i];
        for (std::size_t i = size_; i-- > 1;)
            for (std::size_t k = 0; k < i; ++k) x[k] -= lower_[i * size_ + k] * x[i];
    }

private:
    [[nodiscard]] double diagonal(std::size_t k) const { return lower_[k * size_ + k]; }

    std::size_t size_;
    std::vector<double> lower_;    ///< A, then L below the diagonal and D on it, by rows
    std::vector<double> inverse_;  ///< 1/D
    std::vector<double> row_;
};

}  // namespace twintrack::wiring
