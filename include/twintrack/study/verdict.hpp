// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <memory>
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

/// Rules made ready to judge many records: what several of them share is evaluated once a record. May be used by
/// several threads at a time.
class RuleSet {
public:
    /// Throws InvalidParameter when two rules have the same name, and for a rule that `check` refuses.
    explicit RuleSet(std::vector<Rule> rules);

    /// One verdict a rule, in order. Not applicable: no record can show it, a signal is missing (the reason names it),
    /// or `applies` never holds.
    [[nodiscard]] std::vector<Verdict> judge(const Trace& trace) const;
    [[nodiscard]] const std::vector<Rule>& rules() const noexcept;

private:
    struct Implementation;
    std::shared_ptr<const Implementation> implementation_;
};

[[nodiscard]] Verdict judge(const Rule& rule, const Trace& trace);
[[nodiscard]] std::vector<Verdict> judge(const std::vector<Rule>& rules, const Trace& trace);

}  // namespace twintrack::study
