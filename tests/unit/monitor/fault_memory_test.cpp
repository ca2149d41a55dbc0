// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/monitor/fault_memory.hpp"

#include <gtest/gtest.h>

namespace {

using namespace twintrack;
using namespace twintrack::monitor;

TEST(FaultMemory, ACodeHasOnePlace) {
    FaultMemory m;
    EXPECT_EQ(m.add(deviation()), 0u);
    EXPECT_EQ(m.add(no_return()), 1u);
    EXPECT_EQ(m.add(deviation()), 0u);
    EXPECT_EQ(m.add(not_closing()), 2u) << "the same code with another failure type";
}

TEST(FaultMemory, PendingConfirmedHealed) {
    FaultMemory m;
    m.add(deviation());
    const FaultEntry& e = m.entries()[0];
    m.pending(0, true);
    EXPECT_EQ(e.state, CodeState::pending);
    m.pending(0, false);
    EXPECT_EQ(e.state, CodeState::absent);
    EXPECT_EQ(e.count, 0);
    FreezeFrame first, second;
    first.input.supply = 11.0;
    second.input.supply = 12.0;
    m.confirm(0, milliseconds(5), first);
    m.heal(0, milliseconds(9));
    m.pending(0, true);
    EXPECT_EQ(e.state, CodeState::pending);
    m.pending(0, false);
    EXPECT_EQ(e.state, CodeState::healed) << "what was confirmed once is not forgotten";
    m.confirm(0, milliseconds(20), second);
    EXPECT_EQ(e.count, 2);
    EXPECT_EQ(e.code.confirmed, milliseconds(5));
    EXPECT_EQ(e.last, milliseconds(20));
    EXPECT_EQ(e.frame->input.supply, 11.0) << "the first frame stays";
}

TEST(FaultMemory, ClearLeavesWhatIsInForce) {
    FaultMemory m;
    m.add(deviation());
    m.add(no_return());
    m.confirm(0, {}, {});
    m.confirm(1, {}, {});
    m.heal(1, {});
    m.clear();
    EXPECT_EQ(m.entries()[0].state, CodeState::confirmed);
    EXPECT_EQ(m.entries()[1].state, CodeState::absent);
    EXPECT_FALSE(m.entries()[1].frame);
}

TEST(FaultMemory, WhatNeverWasConfirmedIsAbsentAfterTheKeyIsOff) {
    FaultMemory m;
    m.add_modes();
    m.add(deviation());
    m.add(no_return());
    m.add(not_closing());
    m.pending(1, true);
    m.confirm(2, {}, {});
    m.key_off();
    EXPECT_EQ(m.entries()[0].state, CodeState::absent) << "it never occurred";
    EXPECT_EQ(m.entries()[1].state, CodeState::absent) << "it was pending only";
    EXPECT_EQ(m.entries()[2].state, CodeState::healed);
    for (const FaultEntry& e : m.entries()) EXPECT_EQ(e.good_cycles, 0) << "the cycle it was confirmed in is not good";
    m.key_off();
    EXPECT_EQ(m.entries()[0].good_cycles, 0);
    EXPECT_EQ(m.entries()[2].good_cycles, 1);
}

// 40 warm-up cycles: from memory.
TEST(FaultMemory, ForgetsAfterFortyGoodCycles) {
    FaultMemory m;
    m.add(deviation());
    m.confirm(0, {}, {});
    m.key_off();
    EXPECT_EQ(m.entries()[0].state, CodeState::healed);
    for (int k = 0; k < 39; ++k) m.key_off();
    EXPECT_EQ(m.entries()[0].state, CodeState::healed);
    m.key_off();
    EXPECT_EQ(m.entries()[0].state, CodeState::absent);
    EXPECT_FALSE(m.entries()[0].frame);
}

TEST(FaultMemory, AFaultThatComesBackStartsTheCountAgain) {
    FaultMemory m;
    m.add(deviation());
    m.confirm(0, {}, {});
    for (int k = 0; k < 30; ++k) m.key_off();
    m.confirm(0, {}, {});
    for (int k = 0; k < 40; ++k) m.key_off();
    EXPECT_EQ(m.entries()[0].state, CodeState::healed);
    EXPECT_EQ(m.entries()[0].count, 2);
}

}  // namespace
