// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <string>
#include <vector>

#include "twintrack/core/record.hpp"
#include "twintrack/study/signal_logic.hpp"

namespace twintrack::study {

/// A written requirement, as data: at every row where `applies` holds, `requirement` must hold.
struct Rule {
    std::string set{};       ///< the rules it belongs to, such as "student competition 2024"
    std::string name{};      ///< unique, such as "pedal tracks agree"
    std::string source{};    ///< title, version, year
    std::string clause{};    ///< such as "T.4.2.4, T.4.2.5"
    std::string sentence{};  ///< what it requires, in own words
    std::string basis{};     ///< how well its numbers are known: read in the text, from memory, this bench's own
    Formula applies = truth(true);
    Formula requirement = truth(true);
    std::string unit{};    ///< of the margin; empty: a share
    double scale = 1.0;    ///< what a margin is compared with: the limit, in `unit`
    std::string unseen{};  ///< why no record can show it; such a rule is never applicable
    bool operator==(const Rule&) const = default;
};

/// Throws InvalidParameter for a rule without name, or a scale that is not positive and finite.
void check(const Rule& rule, const std::string& path);

/// Student-competition rules 2024 v1.0 (1 Sep 2023), T.4.2, T.4.3.3–4, IC.3.3, IC.4.1, IC.4.4, IC.4.7, IC.4.8, IC.9.2.2
/// (read in the published text). Rules that need signals no record has yet are there, and not applicable until it has.
[[nodiscard]] std::vector<Rule> student_competition_rules();

/// Return to idle within 1, 2, 3 s: 49 CFR 571.124 S5.3 (times from memory), and the fault-tolerant time of 0.5 s.
[[nodiscard]] std::vector<Rule> return_rules();

/// Idle speed within +200/−100 rpm of its set point: 13 CCR 1968.2 (e)(15.2.2)(B) (quoted second hand).
[[nodiscard]] std::vector<Rule> idle_rules();

/// What a reaction of the monitor must bring about.
[[nodiscard]] std::vector<Rule> reaction_rules();

/// An engine that runs does not stall: this bench's own.
[[nodiscard]] std::vector<Rule> engine_rules();

/// All of them.
[[nodiscard]] std::vector<Rule> built_in_rules();

/// Every signal and figure a rule may use, with its unit: those of the record, those `observed` adds, and those
/// that no record has yet.
[[nodiscard]] std::vector<Signal> rule_signals();

}  // namespace twintrack::study
