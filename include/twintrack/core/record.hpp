// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <span>
#include <string>
#include <vector>

#include "twintrack/core/time.hpp"

namespace twintrack {

struct Signal {
    std::string name;  ///< dotted, such as "throttle.track1"
    std::string unit;  ///< SI text; empty for a number without dimension
};

/// Columns of equal length over time. Rows are appended; no file access.
class Record {
public:
    explicit Record(std::vector<Signal> signals);

    void reserve(std::size_t rows);
    /// `row` holds one value per signal, in the order of `signals()`; throws std::logic_error on another length.
    void append(Time time, std::span<const double> row);

    [[nodiscard]] std::size_t size() const noexcept { return time_.size(); }
    [[nodiscard]] std::span<const double> time() const noexcept { return time_; }  ///< [s]
    [[nodiscard]] const std::vector<Signal>& signals() const noexcept { return signals_; }
    [[nodiscard]] std::span<const double> column(std::size_t index) const { return columns_.at(index); }
    /// Throws InvalidParameter listing the names there are.
    [[nodiscard]] std::span<const double> column(const std::string& name) const;

private:
    std::vector<Signal> signals_;
    std::vector<double> time_;
    std::vector<std::vector<double>> columns_;
};

}  // namespace twintrack
