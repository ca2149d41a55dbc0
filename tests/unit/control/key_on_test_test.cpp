// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/control/key_on_test.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include "support/refusal.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::control;

/// DebouncedCheck until 150 ms, twitch until 230 ms, springs until 480 ms.
KeyOnTest made() { return {{.enabled = true}, 0.08, milliseconds(150), milliseconds(230)}; }

/// Steps each millisecond to `end` with the blade where `opening` says.
template <class Opening>
SelfTest stepped(KeyOnTest& test, int end, Opening opening) {
    SelfTest state = SelfTest::none;
    for (int ms = 0; ms <= end; ++ms) state = test.step(milliseconds(ms), opening(ms));
    return state;
}

TEST(KeyOnTest, EveryFieldIsGuarded) {
    support::expect_every_field_guarded<SelfTestParameters>();
    EXPECT_THROW(validate(SelfTestParameters{.twitch_opening = 0.02}, "self_test"), InvalidParameter);
}

TEST(KeyOnTest, OffItSaysNothing) {
    KeyOnTest test;
    EXPECT_EQ(test.step(milliseconds(500), 0.9), SelfTest::none);
    EXPECT_FALSE(test.motor_off(milliseconds(500)));
}

TEST(KeyOnTest, PassesWhenTheBladeComesBack) {
    KeyOnTest test = made();
    const auto blade = [](int ms) { return ms > 150 && ms < 300 ? 0.11 : 0.081; };
    EXPECT_EQ(stepped(test, 479, blade), SelfTest::under_way);
    EXPECT_FALSE(test.motor_off(milliseconds(200)));
    EXPECT_TRUE(test.motor_off(milliseconds(300))) << "the springs are on their own";
    EXPECT_EQ(stepped(test, 480, blade), SelfTest::passed);
    EXPECT_FALSE(test.motor_off(milliseconds(481)));
}

TEST(KeyOnTest, SeesAWrongDefaultPositionBeforeTheTwitch) {
    for (const double opening : {0.059, 0.101}) {
        KeyOnTest test = made();
        EXPECT_EQ(stepped(test, 149, [&](int) { return opening; }), SelfTest::under_way);
        EXPECT_EQ(stepped(test, 150, [&](int) { return opening; }), SelfTest::default_wrong);
        EXPECT_TRUE(test.motor_off(milliseconds(200)));
        EXPECT_EQ(stepped(test, 900, [&](int) { return 0.08; }), SelfTest::default_wrong) << "until key-off";
    }
}

TEST(KeyOnTest, SeesAMotorThatDoesNotMoveTheBlade) {
    KeyOnTest test = made();
    EXPECT_EQ(stepped(test, 229, [](int) { return 0.081; }), SelfTest::under_way);
    EXPECT_EQ(stepped(test, 230, [](int) { return 0.081; }), SelfTest::no_twitch);
}

TEST(KeyOnTest, SeesSpringsThatDoNotReturn) {
    KeyOnTest test = made();
    EXPECT_EQ(stepped(test, 480, [](int ms) { return ms > 150 ? 0.11 : 0.08; }), SelfTest::no_return);
    EXPECT_TRUE(test.motor_off(milliseconds(500)));
}

}  // namespace
