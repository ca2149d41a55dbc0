// SPDX-License-Identifier: BSD-3-Clause
#include "eigenvalues.hpp"

#include <Eigen/Eigenvalues>

namespace support {

std::vector<std::complex<double>> eigenvalues(const std::array<std::array<double, 3>, 3>& columns) {
    Eigen::Matrix3d matrix;
    for (int k = 0; k < 3; ++k)
        for (int i = 0; i < 3; ++i) matrix(i, k) = columns[static_cast<std::size_t>(k)][static_cast<std::size_t>(i)];
    const Eigen::Vector3cd values = matrix.eigenvalues();
    return {values.begin(), values.end()};
}

}  // namespace support
