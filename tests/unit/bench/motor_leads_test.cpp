// SPDX-License-Identifier: BSD-3-Clause
// A bridge that protects itself and names what is wrong with the motor's leads. Codes by J2012 titles (public lists);
// which failure type goes with which finding is this bench's own choice.
#include <gtest/gtest.h>

#include <algorithm>

#include "twintrack/bench/run.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;
using fault::Fault;
using fault::Schedule;

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *learn(BenchParameters{}).result.range;
    return range;
}

struct Lead {
    const char *where, *what, *with, *code;
};

constexpr double hard = 0.05;  // [Ω]

Fault fault_of(const Lead& l, Time from) {
    return {.where = l.where,
            .what = l.what,
            .from = from,
            .amount = std::string(l.what) == "open" ? 0.0 : hard,
            .with = l.with};
}

bench::Run driven(std::vector<Fault> faults, const Stroke& stroke, BenchParameters p = {}) {
    return run(p, stroke, {}, {.learned = learned(), .faults = Schedule(std::move(faults))});
}

constexpr Lead leads[] = {{"motor +", "open", "", "P2100-13"},
                          {"motor -", "open", "", "P2100-13"},
                          {"motor +", "short_to_ground", "", "P2102-11"},
                          {"motor -", "short_to_ground", "", "P2102-11"},
                          {"motor +", "short_to_battery", "", "P2103-12"},
                          {"motor -", "short_to_battery", "", "P2103-12"},
                          {"motor +", "short_to", "motor -", "P2118-1A"}};

std::string name(const Lead& l) { return std::string(l.where) + " " + l.what + " " + l.with; }

// While it drives: the foot moves, so that the motor pulls both ways.
TEST(MotorLeads, EachFaultHasItsCodeWhileTheBridgeDrives) {
    const Stroke stroke({0.0, 0.5, 1.0, 2.0, 2.2, 3.0, 3.2, 5.0}, {0.0, 0.0, 0.5, 0.5, 0.0, 0.0, 0.4, 0.4});
    for (const Lead& l : leads) {
        const auto r = driven({fault_of(l, milliseconds(1500))}, stroke);
        ASSERT_TRUE(r.outcome.ok()) << name(l);
        ASSERT_FALSE(r.codes.empty()) << name(l);
        EXPECT_EQ(r.codes.front().text(), l.code) << name(l);
        EXPECT_LT(seconds(r.codes.front().confirmed), 3.0) << name(l);
        EXPECT_EQ(r.record.column("reaction").back(), 3.0) << name(l);
        EXPECT_NEAR(r.record.column("blade.opening").back(), learned().default_opening, 0.02) << name(l);
    }
}

// Before the first power: 100 ms of debounce within the 150 ms of self-check. A short across is no more than a winding
// of little resistance; it is found at the first power.
TEST(MotorLeads, TheOpenBridgeIsTestedAtKeyOn) {
    for (const Lead& l : leads) {
        const auto r = driven({fault_of(l, Time{0})}, Stroke::rest(1.0));
        ASSERT_FALSE(r.codes.empty()) << name(l);
        EXPECT_EQ(r.codes.front().text(), l.code) << name(l);
        const double when = seconds(r.codes.front().confirmed);
        const bool across = *l.with;
        EXPECT_NEAR(when, across ? 0.30 : 0.101, across ? 0.1 : 0.0015) << name(l);
    }
}

TEST(MotorLeads, NoSwitchCarriesAShortFromTickToTick) {
    for (const Lead& l : leads) {
        if (std::string(l.what) == "open") continue;
        const auto r = driven({fault_of(l, milliseconds(1500))}, Stroke({0.0, 0.5, 1.0, 3.0}, {0.0, 0.0, 0.5, 0.5}));
        const auto current = r.record.column("motor.current");
        EXPECT_LT(*std::max_element(current.begin(), current.end()), 13.0) << name(l);
        const auto blade = r.record.column("blade.opening"), asked = r.record.column("asked");
        for (std::size_t k = 0; k < blade.size(); ++k)
            ASSERT_LT(blade[k] - std::max(asked[k], learned().default_opening + 0.03), 0.10) << name(l) << " " << k;
    }
}

TEST(MotorLeads, AShortThatGoesIsForgotten) {
    Fault f = fault_of(leads[2], milliseconds(1500));
    f.to = milliseconds(1540);
    const auto r = driven({f}, Stroke({0.0, 0.5, 1.0, 4.0}, {0.0, 0.0, 0.5, 0.5}));
    const auto state = r.record.column("bridge.state");
    EXPECT_NE(std::find(state.begin(), state.end(), 2.0), state.end()) << "it tripped";
    EXPECT_EQ(state.back(), 0.0);
    EXPECT_NEAR(r.record.column("blade.opening").back(), r.record.column("asked").back(), 0.01);
}

// Law: what a bridge finds must be a fault.
TEST(MotorLeads, SoundLeadsHaveNoFinding) {
    for (const char* where : {"throttle signal 1", "pedal reference 1", "throttle return"})
        for (const char* what : {"open", "short_to_ground", "short_to_battery"}) {
            const auto r = driven({{.where = where,
                                    .what = what,
                                    .from = milliseconds(1500),
                                    .amount = std::string(what) == "open" ? 0.0 : hard}},
                                  Stroke({0.0, 0.5, 1.0, 4.0}, {0.0, 0.0, 0.5, 0.5}));
            for (const auto& c : r.codes)
                for (const char* lead : {"P2100", "P2102", "P2103", "P2118"})
                    EXPECT_NE(c.code, lead) << where << " " << what;
        }
}

TEST(MotorLeads, TheForcedModeStandsInTheHistory) {
    const auto mode = [](const bench::Run& r, const char* code) {
        for (const auto& e : r.history.modes())
            if (e.code.code == code) return std::string(name_of(e.state));
        return std::string("unknown");
    };
    const Stroke pressed({0.0, 0.5, 1.0, 3.0},
                         {0.0, 0.0, 0.5, 0.5});  // at rest nothing opens the blade, no short shows
    const auto off = driven({fault_of(leads[2], milliseconds(1500))}, pressed);
    EXPECT_EQ(mode(off, "P2110"), "confirmed");
    EXPECT_EQ(mode(off, "P2105"), "absent");
    BenchParameters graded;
    graded.monitor = monitor::graded();
    graded.monitor.function_monitor.enabled = false;
    const auto limited =
        driven({{.where = "pedal signal 2", .what = "open", .from = milliseconds(1500)}}, Stroke::rest(3.0), graded);
    EXPECT_EQ(mode(limited, "P2106"), "confirmed");
    EXPECT_EQ(mode(limited, "P2110"), "absent");
    const auto healthy = driven({}, Stroke::rest(1.0));
    for (const char* code : {"P2104", "P2105", "P2106", "P2110"}) EXPECT_EQ(mode(healthy, code), "absent");
}

}  // namespace
