// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/verdict.hpp"

#include <cmath>
#include <set>

#include "twintrack/core/error.hpp"

namespace twintrack::study {

namespace {

/// The names that the trace lacks, in one line; empty when it has all.
std::string missing(const Rule& rule, const Trace& trace) {
    std::string text;
    std::set<std::string> named;
    for (const auto* formula : {&rule.applies, &rule.requirement})
        for (const auto& name : signals_of(*formula))
            if (!trace.find(name) && named.insert(name).second) text += (text.empty() ? "" : ", ") + name;
    return text;
}

Verdict not_applicable(const Rule& rule, std::string reason) {
    Verdict v;
    v.rule = rule.name;
    v.reason = std::move(reason);
    return v;
}

}  // namespace

void check(const Rule& rule, const std::string& path) {
    if (rule.name.empty()) throw InvalidParameter(dotted(path, "name"), "a rule needs a name");
    if (!(rule.scale > 0.0) || !std::isfinite(rule.scale))
        throw InvalidParameter(dotted(path, "scale"), "must be positive and finite");
}

Verdict judge(const Rule& rule, const Trace& trace) {
    check(rule, rule.name);
    if (!rule.unseen.empty()) return not_applicable(rule, rule.unseen);
    if (const std::string names = missing(rule, trace); !names.empty())
        return not_applicable(rule, "not in the record: " + names);
    if (trace.size() == 0) return not_applicable(rule, "the record is empty");
    const Robustness asked = answer(rule.applies, trace), kept = answer(rule.requirement, trace);
    const auto time = trace.record().time();
    Verdict v = not_applicable(rule, "its condition is never met in this record");
    for (std::size_t i = 0; i < trace.size(); ++i) {
        if (!asked.holds[i]) continue;
        if (!v.margin) v.finding = Finding::passed, v.reason.clear();
        if (!kept.holds[i] && !v.when) v.finding = Finding::failed, v.when = time[i];
        if (v.margin && kept.margin[i] >= *v.margin) continue;
        v.margin = kept.margin[i];
        v.worst = std::isfinite(kept.margin[i]) ? std::optional(time[i]) : std::nullopt;
    }
    return v;
}

std::vector<Verdict> judge(const std::vector<Rule>& rules, const Trace& trace) {
    std::set<std::string> names;
    std::vector<Verdict> verdicts;
    for (const auto& rule : rules) {
        if (!names.insert(rule.name).second) throw InvalidParameter(rule.name, "two rules have this name");
        verdicts.push_back(judge(rule, trace));
    }
    return verdicts;
}

}  // namespace twintrack::study
