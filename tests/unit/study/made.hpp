// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <functional>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

#include "twintrack/study/rule.hpp"
#include "twintrack/study/verdict.hpp"

/// Records made by hand, and what a built-in rule says of them.
namespace support {

using namespace twintrack;
using namespace twintrack::study;

/// Columns by name, as functions of the millisecond; what is not named stays 0.
using Columns = std::map<std::string, std::function<double(int)>>;

inline Record made(int last, const Columns& columns) {
    std::vector<Signal> signals;
    for (const auto& s : rule_signals()) signals.push_back(s);
    Record record(signals);
    std::vector<double> row(signals.size());
    for (int ms = 0; ms <= last; ++ms) {
        for (std::size_t k = 0; k < row.size(); ++k) {
            const auto column = columns.find(signals[k].name);
            row[k] = column == columns.end() ? 0.0 : column->second(ms);
        }
        record.append(milliseconds(ms), row);
    }
    return record;
}

inline Verdict verdict(const std::string& name, const Record& record) {
    for (const auto& rule : built_in_rules())
        if (rule.name == name) return judge(rule, Trace(record));
    throw std::runtime_error("no rule " + name);
}

/// `value` from 500 ms on for `length` ms (so that it has lasted `length` when it is last seen).
inline std::function<double(int)> pulse(double value, int length) {
    return [=](int ms) { return ms >= 500 && ms <= 500 + length ? value : 0.0; };
}

inline const auto driving = [](int) { return 0.3; };

}  // namespace support
