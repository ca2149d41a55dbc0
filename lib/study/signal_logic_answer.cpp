// SPDX-License-Identifier: BSD-3-Clause
#include "evaluation.hpp"

namespace twintrack::study {

Robustness answer(const Formula& formula, const Trace& trace) {
    Parts parts;
    const std::size_t whole = parts.add(formula);
    const Column numbers = Evaluation(parts, trace)(whole);
    Robustness r{std::vector<char>(numbers.size()), std::vector<double>(numbers.size())};
    for (std::size_t i = 0; i < numbers.size(); ++i) r.holds[i] = holds(numbers[i]), r.margin[i] = margin(numbers[i]);
    return r;
}

}  // namespace twintrack::study
