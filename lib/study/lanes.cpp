// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/lanes.hpp"

#include <algorithm>

#include "twintrack/core/error.hpp"

namespace twintrack::study {

std::vector<std::string> judged_signals(std::vector<std::string> signals, const std::vector<Case>& cases) {
    const auto add = [&](const std::string& needed) {
        if (std::find(signals.begin(), signals.end(), needed) == signals.end()) signals.push_back(needed);
    };
    add("blade.opening"), add("asked"), add("reaction");
    if (std::any_of(cases.begin(), cases.end(), [](const Case& c) { return c.bench.engine.has_value(); }))
        for (const Signal& s : bench::recorded_signals(true)) add(s.name);  // the idle's measures need many
    return signals;
}

lanes::Case in_lane(const Case& c, const std::optional<control::LearnResult>& learned) {
    return {c.bench,          c.stroke, {}, learned ? learned->range : std::optional<control::LearnedRange>{},
            faults_of_run(c), c.brake};
}

std::string lanes_refusal(const Case& c) {
    try {
        lanes::check(in_lane(c, {}));
    } catch (const InvalidParameter& refusal) {
        return refusal.what();
    }
    return {};
}

void check_for_lanes(const std::vector<Case>& cases, const std::vector<std::optional<control::LearnResult>>& learned) {
    if (learned.size() != cases.size())
        throw InvalidParameter("learned", "one learn is needed per case; got " + std::to_string(learned.size()) +
                                              " for " + std::to_string(cases.size()) + " cases");
}

std::vector<CaseResult> run_cases(const std::vector<Case>& cases,
                                  const std::vector<std::optional<control::LearnResult>>& learned,
                                  lanes::Options options, bool keep_records, const bench::Interrupt& interrupt) {
    check_for_lanes(cases, learned);
    options.signals = judged_signals(std::move(options.signals), cases);
    CaseResult left;
    left.outcome = {Status::interrupted, {}, "stopped on request"};
    std::vector<CaseResult> results(cases.size(), left);
    const auto source = [&](std::size_t k) { return in_lane(cases[k], learned[k]); };
    const auto sink = [&](lanes::Result&& r) {
        CaseResult& result = results[r.index];
        result = conclude(cases[r.index], learned[r.index], r.record, std::move(r.codes), std::move(r.outcome));
        if (keep_records) result.record = std::move(r.record);
    };
    lanes::run(cases.size(), source, options, sink, interrupt);
    return results;
}

}  // namespace twintrack::study
