// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/batch.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "twintrack/core/error.hpp"
#include "twintrack/study/signal_logic.hpp"
#include "twintrack/study/trace.hpp"

namespace twintrack::study {

namespace {

using LearnedOf = std::vector<std::optional<control::LearnResult>>;

/// The record with some of its signals only; those it does not have are left out.
Record only(const Record& record, const std::vector<std::string>& names) {
    std::vector<Signal> kept;
    for (const Signal& s : record.signals())
        if (std::find(names.begin(), names.end(), s.name) != names.end()) kept.push_back(s);
    std::vector<std::span<const double>> columns;
    for (const Signal& s : kept) columns.push_back(record.column(s.name));
    Record less(kept);
    less.reserve(record.size());
    std::vector<double> row(kept.size());
    for (std::size_t i = 0; i < record.size(); ++i) {
        for (std::size_t k = 0; k < columns.size(); ++k) row[k] = columns[k][i];
        less.append(from_seconds(record.time()[i]), row);
    }
    return less;
}

/// What a lane records: the signals to be kept, those that the rules name, and those that observed() works with.
std::vector<std::string> recorded(const BatchOptions& options) {
    std::set<std::string> wanted(options.signals.begin(), options.signals.end());
    for (const Rule& rule : options.rules)
        for (const Formula* formula : {&rule.applies, &rule.requirement})
            for (const std::string& name : signals_of(*formula)) wanted.insert(name);
    if (!options.rules.empty())
        for (const char* name :
             {"pedal.track1", "pedal.track2", "pedal.track3", "throttle.track1", "throttle.track2", "throttle.track3",
              "brake.volts", "supply", "device.tripped", "reaction", "idle.opening"})
            wanted.insert(name);
    std::vector<std::string> names;
    for (const Signal& s : lanes::recordable_signals())
        if (wanted.count(s.name)) names.push_back(s.name);
    return names;
}

/// One batch while it runs.
class Batch {
public:
    Batch(const std::vector<Case>& cases, const LearnedOf& learned, const BatchOptions& options,
          const bench::Interrupt& interrupt)
        : cases_(cases),
          learned_(learned),
          options_(options),
          interrupt_(interrupt),
          rules_(options.rules),
          ran_(cases.size()) {
        CaseResult left;
        left.outcome = {Status::interrupted, {}, "stopped on request"};
        for (Ran& r : ran_) r.result = left;
    }

    std::vector<Ran> run() {
        std::map<double, std::vector<std::size_t>> groups;  // by control period: lanes tick together
        std::vector<std::size_t> exact;
        for (std::size_t k = 0; k < cases_.size(); ++k)
            if (!options_.exact && !options_.units.controller && !options_.units.monitor &&
                lanes_refusal(cases_[k]).empty())
                groups[cases_[k].bench.control_period].push_back(k);
            else
                exact.push_back(k);
        for (const auto& group : groups) side_by_side(group.second);
        for (const std::size_t k : exact)
            if (!(interrupt_ && interrupt_())) alone(k);
        return std::move(ran_);
    }

private:
    void side_by_side(const std::vector<std::size_t>& group) {
        std::vector<Case> cases;
        for (const std::size_t k : group) cases.push_back(cases_[k]);
        lanes::Options options{.substep = options_.substep,
                               .threads = options_.threads,
                               .signals = judged_signals(recorded(options_), cases)};
        lanes::run(
            group.size(), [&](std::size_t i) { return in_lane(cases[i], learned_[group[i]]); }, options,
            [&](lanes::Result&& r) {
                const std::size_t k = group[r.index];
                ran_[k].in_lanes = true;
                CaseResult result =
                    conclude(cases_[k], learned_[k], r.record, std::move(r.codes), std::move(r.outcome));
                take(k, std::move(result), r.record);
            },
            interrupt_);
    }

    void alone(std::size_t k) {
        try {
            CaseResult result = run_case(cases_[k], learned_[k], true, interrupt_, options_.units);
            const Record record = std::move(*result.record);
            result.record.reset();
            take(k, std::move(result), record);
        } catch (const InvalidParameter& refusal) {
            ran_[k] = {{}, refusal.what(), false, {}};
        }
    }

    void take(std::size_t k, CaseResult&& result, const Record& record) {
        if (!options_.rules.empty()) {
            const auto& l = learned_[k];
            const auto& judge_by = options_.judges.empty() ? cases_[k].bench : options_.judges[k];
            ran_[k].verdicts = rules_.judge(
                observed(record, judge_by, l && l->accepted ? l->range : std::optional<control::LearnedRange>{}));
        }
        if (!options_.signals.empty()) result.record = only(record, options_.signals);
        ran_[k].result = std::move(result);
    }

    const std::vector<Case>& cases_;
    const LearnedOf& learned_;
    const BatchOptions& options_;
    const bench::Interrupt& interrupt_;
    RuleSet rules_;
    std::vector<Ran> ran_;
};

}  // namespace

std::vector<Ran> run_batch(const std::vector<Case>& cases, const LearnedOf& learned, const BatchOptions& options,
                           const bench::Interrupt& interrupt) {
    check_for_lanes(cases, learned);
    if (!options.judges.empty() && options.judges.size() != cases.size())
        throw InvalidParameter("judges", "one bench is needed per case; got " + std::to_string(options.judges.size()) +
                                             " for " + std::to_string(cases.size()) + " cases");
    return Batch(cases, learned, options, interrupt).run();
}

}  // namespace twintrack::study
