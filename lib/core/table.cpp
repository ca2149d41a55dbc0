// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/table.hpp"

#include <algorithm>
#include <cmath>

#include "twintrack/core/error.hpp"

namespace twintrack {

namespace {

double between(double x0, double y0, double x1, double y1, double x) noexcept {
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
}

}  // namespace

Table::Table(std::vector<double> x, std::vector<double> y, const std::string& where)
    : x_(std::move(x)), y_(std::move(y)) {
    if (x_.empty() || x_.size() != y_.size())
        throw InvalidParameter(where, "a table needs as many values as knots, at least one; got " +
                                          std::to_string(x_.size()) + " knots and " + std::to_string(y_.size()) +
                                          " values");
    for (std::size_t i = 0; i < x_.size(); ++i) {
        if (!std::isfinite(x_[i]) || !std::isfinite(y_[i]))
            throw InvalidParameter(where, "every knot and value must be finite");
        if (i > 0 && x_[i] <= x_[i - 1])
            throw InvalidParameter(where, "knots must increase; knot " + std::to_string(i + 1) + " does not");
    }
}

double Table::operator()(double x) const noexcept {
    if (x <= x_.front()) return y_.front();
    if (x >= x_.back()) return y_.back();
    const auto i = static_cast<std::size_t>(std::upper_bound(x_.begin(), x_.end(), x) - x_.begin());
    return between(x_[i - 1], y_[i - 1], x_[i], y_[i], x);
}

double Table::inverse(double y) const noexcept {
    const bool rising = y_.back() >= y_.front();
    const auto reached = [&](double value) { return rising ? value >= y : value <= y; };
    if (reached(y_.front())) return x_.front();
    for (std::size_t i = 1; i < x_.size(); ++i)
        if (reached(y_[i])) return between(y_[i - 1], x_[i - 1], y_[i], x_[i], y);
    return x_.back();
}

}  // namespace twintrack
