// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "twintrack/study/lanes.hpp"
#include "twintrack/study/rule.hpp"
#include "twintrack/study/verdict.hpp"

namespace twintrack::study {

/// How many cases are run, and the results of each beside its judgement.
struct BatchOptions {
    bool exact = false;                            ///< all in the exact solver; else in lanes those that lanes can take
    double substep = 2e-4;                         ///< [s] of the lanes
    int threads = 1;                               ///< of the lanes; 0: as many as the machine runs at once
    std::vector<Rule> rules{};                     ///< held against each record
    std::vector<bench::BenchParameters> judges{};  ///< bench by which the rules are judged, one a case; empty: its own
    bench::Units units{};  ///< one's own, in each case; with controller or monitor all run in the exact solver
    std::vector<std::string> signals{};  ///< kept in each result's record; empty: no record is kept
};

/// What became of one case of a batch.
struct Ran {
    std::optional<CaseResult> result{};  ///< absent: refused
    std::string refused{};               ///< why the case cannot be run, in one sentence
    bool in_lanes = false;               ///< else in the exact solver; the case alone decides
    std::vector<Verdict> verdicts{};     ///< one a rule
};

/// Runs each case after its learn (absent: none). One record is held at a time, and nothing of it is kept but
/// `signals`. Results in the order of the cases. Cases that an interruption left over say so in their outcome. Throws
/// InvalidParameter where the lists do not fit each other.
[[nodiscard]] std::vector<Ran> run_batch(const std::vector<Case>& cases,
                                         const std::vector<std::optional<control::LearnResult>>& learned,
                                         const BatchOptions& options = {}, const bench::Interrupt& interrupt = {});

}  // namespace twintrack::study
