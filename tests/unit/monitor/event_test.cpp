// SPDX-License-Identifier: BSD-3-Clause
// Events are entries of the memory and no codes.
#include "twintrack/monitor/event.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "shown.hpp"

namespace {

using namespace support;

std::optional<FaultEntry> entry(const Monitor& m, Event e) {
    const auto& all = m.history().entries();
    const auto at =
        std::find_if(all.begin(), all.end(), [&](const FaultEntry& x) { return x.code.code == name_of(e); });
    if (at == all.end() || at->count == 0) return {};
    return *at;
}

control::Input running(bool runs, bool key = true) {
    control::Input in = healthy(learned());
    in.engine.running = runs;
    in.key_on = key;
    return in;
}

TEST(Events, HaveANameAndNoFailureType) {
    for (const auto& [e, name] : names(Tag<Event>{})) {
        const TroubleCode c = entry_of(e);
        EXPECT_EQ(c.text(), name);
        EXPECT_FALSE(c.meaning.empty());
    }
    EXPECT_EQ(event_of(FunctionMonitor::Reason::current), Event::function_monitor_current);
    EXPECT_EQ(event_of(ShutdownDevice::Reason::supply), Event::device_supply);
}

TEST(Events, AnEngineThatStallsIsInTheHistoryAndAmongNoCodes) {
    Monitor m = make(learned());
    show(m, running(true), 100);
    EXPECT_FALSE(entry(m, Event::engine_stall));
    show(m, running(false), 1, {}, 100);
    const auto told = entry(m, Event::engine_stall);
    ASSERT_TRUE(told);
    EXPECT_EQ(told->code.confirmed, milliseconds(100));
    EXPECT_EQ(told->state, CodeState::confirmed);
    EXPECT_TRUE(told->frame.has_value());
    EXPECT_EQ(codes(m), "");
    EXPECT_EQ(m.reaction(), Reaction::none);
    show(m, running(false), 100, {}, 101);
    EXPECT_EQ(entry(m, Event::engine_stall)->count, 1);
    show(m, running(true), 1, {}, 300);
    EXPECT_EQ(entry(m, Event::engine_stall)->state, CodeState::healed);
    show(m, running(false), 1, {}, 301);
    EXPECT_EQ(entry(m, Event::engine_stall)->count, 2);
}

TEST(Events, AnEngineThatIsSwitchedOffDoesNotStall) {
    Monitor key = make(learned());
    show(key, running(true), 10);
    show(key, running(false, false), 10, {}, 10);
    EXPECT_FALSE(entry(key, Event::engine_stall)) << "by the key";
    Monitor device = make(learned());
    show(device, running(true), 10);
    device.note(Event::device_supply);
    show(device, running(false), 10, {}, 10);
    EXPECT_FALSE(entry(device, Event::engine_stall)) << "by the device";
    EXPECT_TRUE(entry(device, Event::device_supply));
}

TEST(Events, AreNotedOnceAKeyOn) {
    Monitor m = make(learned());
    show(m, running(false), 10);
    m.note(Event::function_monitor_opening);
    m.note(Event::function_monitor_opening);
    EXPECT_EQ(entry(m, Event::function_monitor_opening)->count, 1);
    m.restart();
    EXPECT_FALSE(entry(m, Event::function_monitor_opening));
}

}  // namespace
