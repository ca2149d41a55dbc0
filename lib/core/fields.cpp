// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/fields.hpp"

#include <sstream>

namespace twintrack {

namespace {

std::string text(double value) {
    std::ostringstream out;
    out.precision(10);
    out << value;
    return out.str();
}

std::string with_unit(const std::string& number, const std::string& unit) {
    return unit.empty() ? number : number + " " + unit;
}

}  // namespace

std::string describe(const Range& range, const std::string& unit) {
    const bool below = std::isfinite(range.least);
    const bool above = std::isfinite(range.most);
    if (below && above) return with_unit(text(range.least) + " to " + text(range.most), unit);
    if (below) return "at least " + with_unit(text(range.least), unit);
    if (above) return "at most " + with_unit(text(range.most), unit);
    return "any finite number";
}

void require(double value, const Range& range, const std::string& where, const char* unit, const char* meaning) {
    if (holds(range, value)) return;
    throw InvalidParameter(
        where, std::string(meaning) + " is " + with_unit(text(value), unit) + "; allowed: " + describe(range, unit));
}

}  // namespace twintrack
