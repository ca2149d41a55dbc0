// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/verdict.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <set>

#include "evaluation.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::study {

namespace {

/// Names of the signals of a rule, each once.
std::vector<std::string> signals_of(const Rule& rule) {
    std::vector<std::string> names = study::signals_of(rule.applies);
    for (std::string& name : study::signals_of(rule.requirement))
        if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
    return names;
}

/// The names that the trace lacks, in one line; empty when it has all.
std::string missing(const std::vector<std::string>& signals, const Trace& trace) {
    std::string text;
    for (const auto& name : signals)
        if (!trace.find(name)) text += (text.empty() ? "" : ", ") + name;
    return text;
}

Verdict not_applicable(const Rule& rule, std::string reason) {
    Verdict v;
    v.rule = rule.name;
    v.reason = std::move(reason);
    return v;
}

/// The least number of those where `applies` holds; +∞ when there is none. Eight at a time, which no order of a
/// minimum gives, so that no row waits for the row before it.
double least_where(const Column& applies, const Column& kept) {
    std::array<double, 8> least;
    least.fill(std::numeric_limits<double>::infinity());
    const auto take = [&](std::size_t k, std::size_t i) {
        const double here = holds(applies[i]) ? kept[i] : std::numeric_limits<double>::infinity();
        least[k] = std::min(least[k], here);
    };
    const std::size_t n = kept.size(), whole = n - n % least.size();
    for (std::size_t i = 0; i < whole; i += least.size())
        for (std::size_t k = 0; k < least.size(); ++k) take(k, i + k);
    for (std::size_t i = whole; i < n; ++i) take(0, i);
    return *std::min_element(least.begin(), least.end());
}

Verdict found(const Rule& rule, const Column& applies, const Column& kept, const Trace& trace) {
    const auto time = trace.record().time();
    const auto first = [&](auto&& is_it) {
        std::size_t i = 0;
        while (i < time.size() && !(holds(applies[i]) && is_it(kept[i]))) ++i;
        return i < time.size() ? std::optional(time[i]) : std::nullopt;
    };
    if (!first([](double) { return true; })) return not_applicable(rule, "its condition is never met in this record");
    const double least = least_where(applies, kept);
    Verdict v;
    v.rule = rule.name;
    v.finding = holds(least) ? Finding::passed : Finding::failed;
    if (!holds(least)) v.when = first([](double number) { return !holds(number); });
    v.margin = margin(least);
    if (std::isfinite(least)) v.worst = first([&](double number) { return margin(number) == *v.margin; });
    return v;
}

}  // namespace

void check(const Rule& rule, const std::string& path) {
    if (rule.name.empty()) throw InvalidParameter(dotted(path, "name"), "a rule needs a name");
    if (!(rule.scale > 0.0) || !std::isfinite(rule.scale))
        throw InvalidParameter(dotted(path, "scale"), "must be positive and finite");
}

struct RuleSet::Implementation {
    std::vector<Rule> rules;
    Parts parts{};
    struct Asked {
        std::vector<std::string> signals;
        std::size_t applies, requirement;  // numbers of parts
    };
    std::vector<Asked> asked{};
};

RuleSet::RuleSet(std::vector<Rule> rules) {
    auto made = std::make_shared<Implementation>(std::move(rules));
    std::set<std::string> names;
    for (const Rule& rule : made->rules) {
        check(rule, rule.name);
        if (!names.insert(rule.name).second) throw InvalidParameter(rule.name, "two rules have this name");
        made->asked.push_back({signals_of(rule), made->parts.add(rule.applies), made->parts.add(rule.requirement)});
    }
    implementation_ = std::move(made);
}

const std::vector<Rule>& RuleSet::rules() const noexcept { return implementation_->rules; }

std::vector<Verdict> RuleSet::judge(const Trace& trace) const {
    const Implementation& all = *implementation_;
    Evaluation evaluation(all.parts, trace);
    std::vector<Verdict> verdicts;
    for (std::size_t k = 0; k < all.rules.size(); ++k) {
        const Rule& rule = all.rules[k];
        const auto& asked = all.asked[k];
        if (!rule.unseen.empty())
            verdicts.push_back(not_applicable(rule, rule.unseen));
        else if (const std::string names = missing(asked.signals, trace); !names.empty())
            verdicts.push_back(not_applicable(rule, "not in the record: " + names));
        else if (trace.size() == 0)
            verdicts.push_back(not_applicable(rule, "the record is empty"));
        else
            verdicts.push_back(found(rule, evaluation(asked.applies), evaluation(asked.requirement), trace));
    }
    return verdicts;
}

std::vector<Verdict> judge(const std::vector<Rule>& rules, const Trace& trace) { return RuleSet(rules).judge(trace); }

Verdict judge(const Rule& rule, const Trace& trace) { return RuleSet({rule}).judge(trace).front(); }

}  // namespace twintrack::study
