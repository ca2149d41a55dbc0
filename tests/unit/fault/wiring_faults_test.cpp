// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/fault/wiring_faults.hpp"

#include <gtest/gtest.h>

#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::fault;

TEST(WiringFaults, KindsAreThoseOfTheNetlist) {
    std::size_t count = 0;
    for (const auto& [kind, name] : names(Tag<wiring::WiringFaultKind>{})) {
        ++count;
        const Fault f{.where = "pedal signal 1", .what = name, .amount = 2.0, .with = "pedal signal 2"};
        ASSERT_TRUE(in_wiring(f)) << name;
        const wiring::WiringFault edit = edit_of(f);
        EXPECT_EQ(edit.kind, kind);
        EXPECT_EQ(edit.where, f.where);
        EXPECT_EQ(edit.with, f.with);
        EXPECT_EQ(edit.amount, 2.0);
    }
    EXPECT_EQ(wiring_kinds().size(), count + 1) << "and unplugged, which stands for several";
    EXPECT_TRUE(in_wiring({.where = "pedal main", .what = "unplugged"}));
    EXPECT_THROW((void)edit_of({.where = "pedal main", .what = "unplugged"}), InvalidParameter);
    EXPECT_FALSE(in_wiring({.where = "pedal.track1", .what = "offset"}));
    EXPECT_THROW((void)edit_of({.where = "pedal.track1", .what = "offset"}), InvalidParameter);
}

TEST(WiringFaults, EverySingleOneIsWhatAScheduleTakes) {
    const sensing::PedalParameters pedal;
    const sensing::ThrottleBodyParameters body;
    const auto all = every_single_wiring_fault(pedal, body, milliseconds(7));
    EXPECT_EQ(all.size(), wiring::every_single_fault(pedal, body).size());
    for (const Fault& f : all) {
        const Schedule s({f});
        EXPECT_EQ(s.wiring().size(), 1u);
        EXPECT_EQ(s.effects(milliseconds(7)), Effects{}) << sentence(f) << " is an edit, not an effect";
        EXPECT_EQ(f.from, milliseconds(7));
    }
}

TEST(WiringFaults, JoinTwoTerminals) {
    for (const char* what : {"short_to", "exchange"}) {
        const double amount = std::string(what) == "exchange" ? 0.0 : 1.0;
        const auto with = [&](const char* other) {
            return Fault{.where = "pedal signal 1", .what = what, .amount = amount, .with = other};
        };
        EXPECT_NO_THROW(Schedule({with("pedal signal 2")}));
        EXPECT_THROW(Schedule({with("")}), InvalidParameter);
        EXPECT_THROW(Schedule({with("pedal signal 1")}), InvalidParameter) << "to itself";
    }
}

TEST(WiringFaults, GrowInAStraightLine) {
    const Fault f{.where = "pedal signal 1", .what = "series", .from = Time{1000}, .amount = 5.0, .ramp = Time{400}};
    EXPECT_EQ(grown(f, Time{1000}), 0.0);
    EXPECT_EQ(grown(f, Time{1100}), 0.25);
    EXPECT_EQ(grown(f, Time{1400}), 1.0);
    EXPECT_EQ(grown(f, Time{9000}), 1.0);
}

}  // namespace
