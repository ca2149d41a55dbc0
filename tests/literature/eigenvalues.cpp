// SPDX-License-Identifier: BSD-3-Clause
#include "eigenvalues.hpp"

#include <Eigen/Eigenvalues>

namespace support {

std::vector<std::complex<double>> eigenvalues(const std::vector<std::vector<double>>& columns) {
    const auto size = static_cast<Eigen::Index>(columns.size());
    Eigen::MatrixXd matrix(size, size);
    for (Eigen::Index k = 0; k < size; ++k)
        matrix.col(k) = Eigen::Map<const Eigen::VectorXd>(columns[static_cast<std::size_t>(k)].data(), size);
    const Eigen::VectorXcd values = matrix.eigenvalues();
    return {values.begin(), values.end()};
}

}  // namespace support
