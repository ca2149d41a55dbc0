// SPDX-License-Identifier: BSD-3-Clause
#include <Eigen/Core>
#include <unsupported/Eigen/MatrixFunctions>

#include "twintrack/analysis/linearise.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::analysis {

LinearModel sampled(const LinearModel& model, double period) {
    require(period, {1e-9, 1e3}, "period", "s", "time for which inputs are held");
    using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    const auto n = static_cast<Eigen::Index>(model.states), m = static_cast<Eigen::Index>(model.inputs);
    Eigen::MatrixXd whole = Eigen::MatrixXd::Zero(n + m, n + m);
    whole.topLeftCorner(n, n) = Eigen::Map<const Rows>(model.a.data(), n, n);
    whole.topRightCorner(n, m) = Eigen::Map<const Rows>(model.b.data(), n, m);
    const Eigen::MatrixXd scaled = whole * period;
    const Eigen::MatrixXd held = scaled.exp();
    LinearModel out = model;
    Eigen::Map<Rows>(out.a.data(), n, n) = held.topLeftCorner(n, n);
    Eigen::Map<Rows>(out.b.data(), n, m) = held.topRightCorner(n, m);
    return out;
}

}  // namespace twintrack::analysis
