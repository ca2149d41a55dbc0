// SPDX-License-Identifier: BSD-3-Clause
#include <utility>

#include "twintrack/study/learned_travel.hpp"

namespace twintrack::study {

namespace {

constexpr double differing = 0.10;  // [share of travel] T.4.2.4, IC.4.4.3, IC.4.7.2
constexpr double resting = 0.02;    // [share of travel] around a resting place (this bench's own)

Rule learned_rule(std::string name, std::string clause, std::string sentence, Formula requirement,
                  double scale = differing, std::string unit = {}) {
    return {.set = "student competition 2024, learned range",
            .name = std::move(name),
            .source = "Student-competition rules 2024, version 1.0 (1 September 2023)",
            .clause = std::move(clause),
            .sentence = std::move(sentence),
            .basis = "read in the published text; held against a learned range in our own reading",
            .requirement = std::move(requirement),
            .unit = std::move(unit),
            .scale = scale};
}

void add_tracks(std::vector<Rule>& all, const std::string& assembly, const char* agree, const char* band,
                const char* differ) {
    all.push_back(learned_rule("learned " + assembly + " tracks agree", agree,
                               "By the learned range the tracks agree within 10 % of travel at every position.",
                               signal(assembly + ".mismatch") <= differing));
    all.push_back(
        learned_rule("learned " + assembly + " tracks in band", band,
                     "Over the whole travel every track stays inside its electrical band (the rules' example: 0.5 to "
                     "4.5 V; here the monitor's own).",
                     signal(assembly + ".outside") <= 0.0, 0.5, "V"));
    Rule apart =
        learned_rule("short between " + assembly + " tracks shows", differ,
                     "Tracks of different characteristics: shorted together they may agree at 0 % only, so they "
                     "disagree by more than 10 % anywhere else; or they slope in opposite directions.",
                     signal(assembly + ".short") > differing || crisp(signal(assembly + ".opposed") > 0.5));
    apart.applies = signal("pedal.travel") > resting;
    all.push_back(std::move(apart));
}

Rule at_rest(Rule r) {
    r.applies = signal("pedal.travel") <= 0.0;
    return r;
}

}  // namespace

std::vector<Rule> learned_range_rules() {
    std::vector<Rule> all;
    add_tracks(all, "pedal", "T.4.2.4", "T.4.2.10", "T.4.2.3");
    add_tracks(all, "throttle", "IC.4.4.3", "IC.4.4.8", "IC.4.4.2, as T.4.2.3");
    all.push_back(
        at_rest(learned_rule("released pedal is 0 %", "T.4.2.1",
                             "The pedal that its springs have returned reads 0 %, within 2 % (this bench's own).",
                             signal("pedal.position") <= resting, resting)));
    all.push_back(learned_rule("pedal never reads too much", "T.4.2.4",
                               "The pedal position that is believed is nowhere more than 10 % above the true one.",
                               signal("pedal.position") - signal("pedal.travel") <= differing));
    all.push_back(learned_rule("position is the blade's", "IC.4.4.3, IC.4.7.2",
                               "The blade position that is believed is nowhere more than 10 % from the true one.",
                               magnitude(signal("opening") - signal("blade.opening")) <= differing));
    all.push_back(at_rest(learned_rule(
        "default position is known", "IC.4.1.1, IC.4.7.3",
        "The default position that was learned is where the springs leave the blade, within 2 % (this bench's "
        "own): the clauses judge the unpowered blade by it.",
        magnitude(signal("default.learned") - signal("default.believed")) <= resting, resting)));
    return all;
}

}  // namespace twintrack::study
