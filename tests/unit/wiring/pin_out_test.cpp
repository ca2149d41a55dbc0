// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/wiring/pin_out.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "pairs.hpp"

namespace {

using namespace twintrack::wiring;
using twintrack::test::pairs;

TEST(PinOut, TheCorrectOneJoinsEveryTerminalToItsOwnPin) {
    for (const auto& pair : pairs()) {
        const PinOut correct = correct_pin_out(pair.pedal, pair.body);
        EXPECT_EQ(correct.size(), terminals(pair.pedal, pair.body).size()) << pair.name;
        EXPECT_NO_THROW(check_pin_out(correct, pair.pedal, pair.body)) << pair.name;
        EXPECT_TRUE(remarks(correct, pair.pedal, pair.body).empty()) << pair.name;
    }
}

TEST(PinOut, FamiliesHaveTheirTerminals) {
    const auto count = [](const auto& pair) { return twintrack::sensing::terminals(pair.body).size(); };
    const auto all = pairs();
    EXPECT_EQ(count(all[0]), 6U);
    EXPECT_EQ(count(all[1]), 8U);
    const PinOut six = correct_pin_out(all[0].pedal, all[0].body);
    EXPECT_NE(std::find(six.begin(), six.end(), Joint{"throttle reference", "throttle reference 1"}), six.end());
    EXPECT_NE(std::find(six.begin(), six.end(), Joint{"motor -", "motor -"}), six.end());
}

TEST(PinOut, OddOnesAreRemarkedUponAndNotRefused) {
    const auto pair = pairs()[0];
    PinOut odd = correct_pin_out(pair.pedal, pair.body);
    std::erase_if(odd, [](const Joint& j) { return j.terminal == "throttle return"; });
    for (Joint& j : odd)
        if (j.terminal == "throttle signal 2") j.pin = "throttle signal 1";
    const auto said = remarks(odd, pair.pedal, pair.body);
    ASSERT_EQ(said.size(), 3U);
    EXPECT_EQ(said[0], "'throttle return' is not connected");
    EXPECT_EQ(said[1], "'throttle signal 2' goes to the pin 'throttle signal 1', its own is 'throttle signal 2'");
    EXPECT_EQ(said[2], "the pin 'throttle signal 1' joins 'throttle signal 1', 'throttle signal 2'");
}

TEST(PinOut, UnknownNamesAreAnsweredWithTheKnownOnes) {
    const auto pair = pairs()[0];
    try {
        check_pin_out({{"pedal signal 9", "pedal signal 1"}}, pair.pedal, pair.body);
        FAIL();
    } catch (const twintrack::InvalidParameter& e) {
        EXPECT_NE(std::string(e.what()).find("'pedal signal 2'"), std::string::npos) << e.what();
    }
    EXPECT_THROW(check_pin_out({{"motor +", "motor"}}, pair.pedal, pair.body), twintrack::InvalidParameter);
    EXPECT_THROW(check_pin_out({{"motor +", "motor +"}, {"motor +", "motor -"}}, pair.pedal, pair.body),
                 twintrack::InvalidParameter);
}

}  // namespace
