// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/case.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

#include "twintrack/core/error.hpp"

namespace twintrack::study {

namespace {

std::string percent(double share) {
    char text[32];
    std::snprintf(text, sizeof text, "%.1f %%", 100.0 * share);
    return text;
}

std::string short_percent(double share) {
    char text[32];
    std::snprintf(text, sizeof text, "%g %%", 100.0 * share);
    return text;
}

std::string seconds_text(double s) {
    char text[32];
    std::snprintf(text, sizeof text, "%.2f s", s);
    return text;
}

std::string errors(const Judgement& j) {
    std::string text;
    const auto add = [&](const char* where, double error) {
        if (!std::isnan(error)) text += (text.empty() ? "" : ", ") + percent(error) + " at " + where;
    };
    add("rest", j.error_rest);
    add("part travel", j.error_half);
    add("full", j.error_full);
    return text;
}

std::string noticed(const std::vector<monitor::TroubleCode>& codes) {
    if (codes.empty()) return "no check tripped";
    return codes.front().text() + " (" + std::string(codes.front().meaning) + ") after " +
           seconds_text(seconds(codes.front().confirmed));
}

std::string sentence(const CaseResult& r, const Limits& limits) {
    if (!r.outcome.ok()) return "The run ended early: " + r.outcome.reason + ".";
    const Judgement& j = r.judgement;
    switch (j.response) {
        case Response::none:
            return "No response: the blade moved " + percent(j.movement) + " of its travel; " + noticed(r.codes) + ".";
        case Response::right:
            return "Right response: off by " + errors(j) + ", settled within " + seconds_text(j.settling_time) + ".";
        case Response::wrong:
            return "Wrong response: off by " + errors(j) + "; " + noticed(r.codes) + ".";
        case Response::uncommanded:
            return "Uncommanded opening: up to " + percent(j.unasked) + " of travel beyond what the pedal asks, for " +
                   seconds_text(j.unasked_time) + " beyond the limit of " + short_percent(limits.unasked) + "; " +
                   noticed(r.codes) + ".";
    }
    return {};
}

/// What the monitor did about the faults of the run; what it did before them does not count.
void add_detection(CaseResult& result, const Case& c, const Record& record) {
    const std::vector<fault::Fault> faults = faults_of_run(c);
    Time start{};
    if (!faults.empty())
        start = std::min_element(faults.begin(), faults.end(), [](const auto& a, const auto& b) {
                    return a.from < b.from;
                })->from;
    for (const auto& code : result.codes)
        if (!faults.empty() && std::isnan(result.detected_after) && code.confirmed >= start)
            result.detected_after = seconds(code.confirmed - start);
    const auto& signals = record.signals();
    for (std::size_t k = 0; k < signals.size(); ++k) {
        if (signals[k].name != "reaction") continue;
        const auto levels = record.column(k);
        for (std::size_t i = 0; i < levels.size(); ++i)
            if (from_seconds(record.time()[i]) >= start)
                result.reaction =
                    std::max(result.reaction, static_cast<monitor::Reaction>(static_cast<int>(levels[i])));
    }
}

}  // namespace

bench::BenchParameters bench_of_learn(const Case& c) {
    bench::BenchParameters p = c.bench;
    if (c.learn != LearnSource::stale) return p;
    if (c.learn_pedal) p.pedal = *c.learn_pedal;
    if (c.learn_body) p.body = *c.learn_body;
    return p;
}

bench::LearnOptions options_of_learn(const Case& c) {
    return {.faults = c.learn_faults, .disturbances = c.disturbances};
}

bench::LearnRun run_learn(const Case& c, const bench::Interrupt& interrupt, const bench::LearnFactory& unit) {
    bench::LearnOptions options = options_of_learn(c);
    options.unit = unit;
    return bench::learn(bench_of_learn(c), options, interrupt);
}

std::vector<fault::Fault> faults_of_run(const Case& c) {
    std::vector<fault::Fault> all = c.faults;
    if (c.disturbances_stay)
        for (fault::Fault& f : bench::lasting_faults(c.disturbances)) all.push_back(std::move(f));
    return all;
}

CaseResult conclude(const Case& c, const std::optional<control::LearnResult>& learned, const Record& record,
                    std::vector<monitor::TroubleCode> codes, Outcome outcome) {
    CaseResult result;
    if (learned) {
        result.learn_accepted = learned->accepted;
        result.learn_reason = learned->reason;
    }
    constexpr double never = std::numeric_limits<double>::infinity();
    const double key_off = c.bench.engine ? c.bench.engine->course.key_off.value_or(never) : never;
    result.judgement = judge(record, c.stroke, c.limits, key_off);
    const auto blade = record.column("blade.opening");
    result.final_opening = blade.empty() ? 0.0 : blade.back();
    result.codes = std::move(codes);
    result.outcome = std::move(outcome);
    if (c.bench.engine) {
        const bool reported = !result.codes.empty() || result.learn_accepted == false;
        result.idle = idle_report(record, c.stroke, c.bench.engine->course, reported,
                                  result.judgement.response == Response::uncommanded);
    }
    add_detection(result, c, record);
    result.sentence = sentence(result, c.limits);
    return result;
}

CaseResult run_case(const Case& c, const std::optional<control::LearnResult>& learned, bool keep_record,
                    const bench::Interrupt& interrupt, const bench::Units& units) {
    bench::SessionOptions options{.learned = {}, .faults = fault::Schedule(faults_of_run(c)), .brake = c.brake};
    if (learned) options.learned = learned->range;
    options.units = units;
    bench::Run run = bench::run(c.bench, c.stroke, {}, std::move(options), interrupt);
    CaseResult result = conclude(c, learned, run.record, std::move(run.codes), run.outcome);
    result.history = std::move(run.history);
    if (keep_record) result.record = std::move(run.record);
    return result;
}

CaseResult run_case(const Case& c, bool keep_record, const bench::Interrupt& interrupt) {
    if (c.learn == LearnSource::none) return run_case(c, std::nullopt, keep_record, interrupt);
    return run_case(c, run_learn(c, interrupt).result, keep_record, interrupt);
}

}  // namespace twintrack::study
