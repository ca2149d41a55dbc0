// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include "twintrack/study/signal_logic.hpp"
#include "twintrack/study/trace.hpp"
#include "windows.hpp"

/// Formulas evaluated on a record, each part that several of them share once.
///
/// Truth and margin are one number: where the margin is 0, the truth decides, and the number is ±`decided`, so that
/// min, max and − of these numbers are and, or and not of both.
namespace twintrack::study {

constexpr double decided = std::numeric_limits<double>::denorm_min();

[[nodiscard]] inline bool holds(double number) { return number > 0.0; }
[[nodiscard]] inline double margin(double number) { return std::fabs(number) == decided ? 0.0 : number; }

/// The different parts of some formulas, parts of a part first.
class Parts {
public:
    struct Part {
        const Formula* formula;
        std::vector<std::size_t> of;
    };

    /// Adds a formula, which must outlive this; returns its number.
    std::size_t add(const Formula& formula);
    [[nodiscard]] const Part& operator[](std::size_t number) const { return parts_[number]; }
    [[nodiscard]] std::size_t size() const { return parts_.size(); }

private:
    std::vector<Part> parts_;
};

/// The parts on one record, evaluated at first use.
class Evaluation {
public:
    Evaluation(const Parts& parts, const Trace& trace);

    /// Throws InvalidParameter for a signal that the trace does not have, and for one that is not a number.
    const Column& operator()(std::size_t number);

private:
    [[nodiscard]] Column made(const Parts::Part& part);

    const Parts& parts_;
    const Trace& trace_;
    Windows windows_;
    std::vector<std::optional<Column>> known_;
};

}  // namespace twintrack::study
