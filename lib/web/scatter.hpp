// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <vector>

#include "document.hpp"
#include "twintrack/lanes/run.hpp"

namespace twintrack::web {

/// Benches that differ a little, with one stroke, side by side in lanes (lanes/run.hpp): their blades' openings.
class Scatter {
public:
    void add(const Document& d);
    /// Runs what was added since the last run, recorded every `every` [s], a multiple of the control period. Returns
    /// rows a bench; one that failed repeats its last.
    int run(double every);
    /// [s], and opening [share of travel] of bench `index`, row by row.
    [[nodiscard]] const std::vector<double>& time() const noexcept { return time_; }
    [[nodiscard]] const std::vector<double>& opening(std::size_t index) const { return openings_.at(index); }

private:
    std::vector<lanes::Case> cases_;
    std::vector<double> time_;
    std::vector<std::vector<double>> openings_;
};

}  // namespace twintrack::web
