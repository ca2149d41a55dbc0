// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <span>
#include <string>
#include <vector>

namespace twintrack {

/// A piecewise linear function y(x) on increasing knots, held constant beyond its ends.
class Table {
public:
    /// Throws InvalidParameter (naming `where`) unless x is strictly increasing, of the length of y, ≥ 1 knot, finite.
    Table(std::vector<double> x, std::vector<double> y, const std::string& where = "table");

    [[nodiscard]] double operator()(double x) const noexcept;

    /// The smallest x that gives y, for a y monotone in x; held at the ends. Flat parts give their nearer end.
    [[nodiscard]] double inverse(double y) const noexcept;

    [[nodiscard]] std::span<const double> x() const noexcept { return x_; }
    [[nodiscard]] std::span<const double> y() const noexcept { return y_; }

private:
    std::vector<double> x_, y_;
};

}  // namespace twintrack
