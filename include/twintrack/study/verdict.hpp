// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/core/described.hpp"
#include "twintrack/study/rule.hpp"
#include "twintrack/study/trace.hpp"

namespace twintrack::study {

enum class Finding { passed, failed, not_applicable };

constexpr std::array<std::pair<Finding, const char*>, 3> names(Tag<Finding>) {
    return {{{Finding::passed, "passed"}, {Finding::failed, "failed"}, {Finding::not_applicable, "not applicable"}}};
}

/// What a record did against a rule.
struct Verdict {
    std::string rule;  ///< its name
    Finding finding = Finding::not_applicable;
    std::optional<double> when{};    ///< [s] first row at which the requirement does not hold
    std::optional<double> worst{};   ///< [s] row of the least margin; absent where no number decides
    std::optional<double> margin{};  ///< least margin over the rows at which the rule applies, in the rule's unit:
                                     ///< positive passed, negative failed; ±∞ where no number decides
    std::string reason{};            ///< why it is not applicable
    bool operator==(const Verdict&) const = default;
};

/// Not applicable: no record can show it, a signal is missing (the reason names it), or `applies` never holds.
[[nodiscard]] Verdict judge(const Rule& rule, const Trace& trace);

/// One verdict a rule, in order. Throws InvalidParameter when two rules have the same name.
[[nodiscard]] std::vector<Verdict> judge(const std::vector<Rule>& rules, const Trace& trace);

}  // namespace twintrack::study
