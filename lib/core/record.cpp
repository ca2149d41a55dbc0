// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/record.hpp"

#include <stdexcept>

#include "twintrack/core/error.hpp"

namespace twintrack {

Record::Record(std::vector<Signal> signals) : signals_(std::move(signals)), columns_(signals_.size()) {}

void Record::reserve(std::size_t rows) {
    time_.reserve(rows);
    for (auto& column : columns_) column.reserve(rows);
}

void Record::append(Time time, std::span<const double> row) {
    if (row.size() != columns_.size()) throw std::logic_error("Record::append: a row has one value per signal");
    time_.push_back(seconds(time));
    for (std::size_t i = 0; i < row.size(); ++i) columns_[i].push_back(row[i]);
}

std::span<const double> Record::column(const std::string& name) const {
    std::string known;
    for (std::size_t i = 0; i < signals_.size(); ++i) {
        if (signals_[i].name == name) return columns_[i];
        known += (i ? ", " : "") + signals_[i].name;
    }
    throw InvalidParameter(name, "no such signal; there are: " + known);
}

}  // namespace twintrack
