// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/learn_state.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "learn_rig.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;
using rig::learn, rig::pressed_twice;

TEST(LearnState, EveryStateHasAName) {
    for (const auto& [state, text] : names(Tag<LearnState>{})) EXPECT_NE(std::string(text), "");
}

/// The runs take every arrow of the list and no other; each refusal is an arrow of its own.
TEST(LearnState, TheArrowsAreThoseThatAreTaken) {
    std::set<std::pair<LearnState, LearnState>> taken;
    rig::Setup once;
    once.foot = [](double t) { return rig::two_presses(t, 0.0); };
    taken.merge(learn(pressed_twice()).taken);
    taken.merge(learn(once, learn_parameters(Strictness::careless)).taken);
    std::set<std::pair<LearnState, LearnState>> listed;
    for (const LearnTransition& t : learn_transitions()) listed.emplace(t.from, t.to);
    EXPECT_EQ(taken, listed);
}

TEST(LearnState, TheDiagramOfThePageIsTheOneOfTheCode) {
    std::ifstream file(TWINTRACK_CONTROL_PAGE);
    ASSERT_TRUE(file) << "the page cannot be read";
    std::stringstream page;
    page << file.rdbuf();
    EXPECT_NE(page.str().find("```mermaid\n" + learn_diagram() + "```\n"), std::string::npos)
        << "lib/control/README.md should show:\n"
        << learn_diagram();
}

}  // namespace
