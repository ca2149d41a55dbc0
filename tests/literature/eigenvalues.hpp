// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <complex>
#include <vector>

namespace support {

/// Of a matrix given by its columns, in no order. Apart from the tests since Eigen's solver is a large template.
[[nodiscard]] std::vector<std::complex<double>> eigenvalues(const std::array<std::array<double, 3>, 3>& columns);

}  // namespace support
