// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "twintrack/lanes/run.hpp"
#include "twintrack/study/case.hpp"

namespace twintrack::study {

/// The case as a lane runs it, after its learn.
[[nodiscard]] lanes::Case in_lane(const Case& c, const std::optional<control::LearnResult>& learned);

/// Why a case cannot run in lanes, in one sentence; empty when it can.
[[nodiscard]] std::string lanes_refusal(const Case& c);

/// A range learn of a case, made where the case alone decides.
struct Learned {
    std::optional<control::LearnResult> result{};  ///< absent: refused, or interrupted
    std::string refused{};                         ///< why the case cannot be run at all, in one sentence
    bool in_lanes = false;                         ///< else in the exact solver
};

/// As run_learn() for each of stale or fresh cases: side by side in lanes those that lanes can take, the others one
/// after the other in the exact solver.
[[nodiscard]] std::vector<Learned> run_learns(const std::vector<Case>& cases, const lanes::Options& options = {},
                                              const bench::Interrupt& interrupt = {});

/// Throws InvalidParameter where the lists do not fit each other. The rest is refused by lanes::run().
void check_for_lanes(const std::vector<Case>& cases, const std::vector<std::optional<control::LearnResult>>& learned);

/// The signals that a judgement of these cases reads, after those given.
[[nodiscard]] std::vector<std::string> judged_signals(std::vector<std::string> signals, const std::vector<Case>& cases);

/// As run_case() for each, side by side in lanes (lanes/run.hpp). `learned` holds each case's learn, or nothing for
/// cases without. Records hold options.signals and what the judgement needs; they are kept when `keep_records`. Cases
/// that an interruption left over say so in their outcome. Throws InvalidParameter for a case that cannot run in lanes
/// and for another number of learns.
[[nodiscard]] std::vector<CaseResult> run_cases(const std::vector<Case>& cases,
                                                const std::vector<std::optional<control::LearnResult>>& learned,
                                                lanes::Options options = {}, bool keep_records = false,
                                                const bench::Interrupt& interrupt = {});

}  // namespace twintrack::study
