// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <complex>
#include <vector>

namespace support {

/// Of a square matrix given by its columns, in no order. Apart from the tests since Eigen's solver is a large template.
[[nodiscard]] std::vector<std::complex<double>> eigenvalues(const std::vector<std::vector<double>>& columns);

}  // namespace support
