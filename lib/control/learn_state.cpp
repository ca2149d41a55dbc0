// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learn_state.hpp"

#include <algorithm>

namespace twintrack::control {

namespace {

using S = LearnState;

constexpr LearnTransition arrows[] = {
    {S::precheck, S::closing, "all well for 0.1 s"},
    {S::closing, S::closed, "still at the limit of the duty"},
    {S::closed, S::releasing_closed, "averaged"},
    {S::releasing_closed, S::default_position, "still"},
    {S::default_position, S::sweeping_open, "averaged"},
    {S::sweeping_open, S::open, "still at the limit of the duty"},
    {S::open, S::releasing_open, "averaged"},
    {S::releasing_open, S::resting, "still"},
    {S::resting, S::first_press, "blade and pedal averaged, blade believed"},
    {S::first_press, S::first_release, "pressed"},
    {S::first_release, S::second_press, "back at rest"},
    {S::first_release, S::validating, "back at rest and one press is enough"},
    {S::second_press, S::second_release, "pressed"},
    {S::second_release, S::validating, "back at rest"},
    {S::validating, S::committing, "pedal believed"},
    {S::committing, S::accepted, "record complete"},
};

std::string identifier(LearnState state) {
    std::string text = name_of(state);
    std::replace(text.begin(), text.end(), ' ', '_');
    return text;
}

}  // namespace

std::span<const LearnTransition> learn_transitions() noexcept { return arrows; }

std::string learn_diagram() {
    std::string text = "stateDiagram-v2\n    [*] --> " + identifier(S::precheck) + "\n";
    for (const LearnTransition& t : arrows)
        text += "    " + identifier(t.from) + " --> " + identifier(t.to) + ": " + t.when + "\n";
    return text + "    " + identifier(S::accepted) + " --> [*]\n";
}

}  // namespace twintrack::control
