// SPDX-License-Identifier: BSD-3-Clause
// Expected numbers are analytic (the ramp in fault.hpp).
#include "twintrack/fault/fault.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::fault;

Fault fault(const std::string& where, const std::string& what, double amount) {
    return {.where = where, .what = what, .from = milliseconds(100), .to = milliseconds(300), .amount = amount};
}

TEST(Schedule, TimesLieWithinAMillionSeconds) {
    Fault f = fault("blade", "torque", 0.1);
    f.to = milliseconds(1'000'000'000);
    EXPECT_NO_THROW(Schedule({f}));
    f.to = *f.to + Time{1};
    EXPECT_THROW(Schedule({f}), InvalidParameter);
    f.to.reset(), f.from = from_seconds(1e300);
    EXPECT_THROW(Schedule({f}), InvalidParameter);
    f.from = Time{0};
    EXPECT_NO_THROW(Schedule({f}));
    f.from = Time{-1};
    EXPECT_THROW(Schedule({f}), InvalidParameter);
    f.from = Time{0}, f.ramp = from_seconds(1e300);
    EXPECT_THROW(Schedule({f}), InvalidParameter);
}

TEST(Schedule, IsTheIdentityWithoutFaults) {
    EXPECT_TRUE(Schedule().empty());
    EXPECT_EQ(Schedule().effects(milliseconds(5)), Effects{});
}

TEST(Schedule, ActsFromItsStartUntilItsEnd) {
    const Schedule s({fault("pedal.track2", "offset", 0.04)});
    EXPECT_EQ(s.effects(Time{99999}), Effects{});
    EXPECT_EQ(s.effects(milliseconds(100)).pedal[1].offset, 0.04);
    EXPECT_EQ(s.effects(Time{299999}).pedal[1].offset, 0.04);
    EXPECT_EQ(s.effects(milliseconds(300)), Effects{});
    EXPECT_EQ(s.effects(milliseconds(200)).pedal[0], sensing::TrackEffect{});
    EXPECT_EQ(s.effects(milliseconds(200)).throttle[1], sensing::TrackEffect{});
}

TEST(Schedule, WithoutAnEndItLasts) {
    Fault f = fault("blade", "torque", -0.5);
    f.to.reset();
    EXPECT_EQ(Schedule({f}).effects(milliseconds(1000000)).external_torque, -0.5);
}

TEST(Schedule, ARampStartsFromWhatChangesNothing) {
    Fault gain = fault("throttle.track1", "gain", 1.4);
    gain.ramp = milliseconds(100);
    Fault spring = fault("body.return_spring", "scale", 0.0);
    spring.ramp = milliseconds(100);
    const Schedule s({gain, spring});
    EXPECT_DOUBLE_EQ(s.effects(milliseconds(100)).throttle[0].gain, 1.0);
    EXPECT_DOUBLE_EQ(s.effects(milliseconds(150)).throttle[0].gain, 1.2);
    EXPECT_DOUBLE_EQ(s.effects(milliseconds(175)).return_spring, 0.25);
    EXPECT_DOUBLE_EQ(s.effects(milliseconds(250)).throttle[0].gain, 1.4);
    EXPECT_DOUBLE_EQ(s.effects(milliseconds(250)).return_spring, 0.0);
}

TEST(Schedule, EveryEntryOfTheCatalogueChangesSomethingAndOnlyThen) {
    for (const Kind& k : catalogue()) {
        const double amount = k.most > 1.0 ? k.most : k.least + 0.75 * (k.most - k.least);
        const Schedule s({fault(k.where, k.what, amount)});
        EXPECT_FALSE(s.effects(milliseconds(200)) == Effects{}) << k.where << " " << k.what;
        EXPECT_EQ(s.effects(Time{0}), Effects{}) << k.where << " " << k.what;
    }
}

TEST(Schedule, FaultsOfOneKindMayFollowEachOther) {
    Fault second = fault("supply", "scale", 0.8);
    second.from = milliseconds(300);
    second.to.reset();
    const Schedule s({fault("supply", "scale", 0.5), second, fault("pedal.track1", "frozen", 0.0)});
    EXPECT_EQ(s.effects(milliseconds(299)).supply, 0.5);
    EXPECT_EQ(s.effects(milliseconds(300)).supply, 0.8);
    EXPECT_TRUE(s.effects(milliseconds(200)).pedal[0].frozen);
}

std::string refusal(std::vector<Fault> faults) {
    try {
        const Schedule s(std::move(faults));
    } catch (const InvalidParameter& e) {
        return e.what();
    }
    return "accepted";
}

TEST(Schedule, SaysWhatIsWrong) {
    const auto has = [](const std::string& text, const std::string& part) {
        EXPECT_NE(text.find(part), std::string::npos) << text;
    };
    has(refusal({fault("pedal.track4", "offset", 0.1)}), "faults[1].where: there is no place 'pedal.track4'; places: ");
    has(refusal({fault("pedal.track4", "offset", 0.1)}), "pedal.track3, throttle.track1");
    has(refusal({fault("supply", "voltage", 0.1)}),
        "faults[1].what: there is no fault 'voltage' of supply; faults: scale, momentary_drop");
    has(refusal({fault("nowhere", "scale", 0.1)}), "has a terminal for its place, and is one of open, series, leak");
    has(refusal({fault("supply", "scale", 3.0)}),
        "faults[1].amount: factor on the supply voltage is 3; allowed: 0 to 2");
    has(refusal({fault("supply", "scale", std::nan(""))}), "faults[1].amount");
    has(refusal({fault("supply", "scale", INFINITY)}), "faults[1].amount");
    has(refusal({fault("supply", "scale", 0.5), fault("supply", "scale", 0.6)}),
        "faults[2]: scale of supply is already set by faults[1] during the same time");
    Fault f = fault("supply", "scale", 0.5);
    f.from = Time{-1};
    has(refusal({f}), "faults[1].from");
    f = fault("supply", "scale", 0.5);
    f.to = f.from;
    has(refusal({f}), "faults[1].to");
    f = fault("supply", "scale", 0.5);
    f.ramp = Time{-1};
    has(refusal({f}), "faults[1].ramp");
    f = fault("pedal.track1", "frozen", 0.0);
    f.ramp = milliseconds(1);
    has(refusal({f}), "faults[1].ramp: a track freezes at once");
    f = fault("supply", "start_level_1", 0.0);
    f.ramp = milliseconds(1);
    has(refusal({f}), "faults[1].ramp: start_level_1 is there at once");
    f = fault("supply", "scale", 0.5);
    f.every = milliseconds(2);
    has(refusal({f}), "faults[1].every: only faults of the wiring come and go");
    f = fault("supply", "scale", 0.5);
    f.with = "supply";
    has(refusal({f}), "faults[1].with: scale of supply takes no second place");
}

}  // namespace
