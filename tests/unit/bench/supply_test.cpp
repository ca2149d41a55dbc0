// SPDX-License-Identifier: BSD-3-Clause
// A controller that lives on what its supply pin gets. Levels and times of ISO 16750-2:2023 are known second-hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

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

bench::Run driven(const std::vector<Fault>& faults, const Stroke& stroke, const BenchParameters& p = {}) {
    return run(p, stroke, {}, {.learned = learned(), .faults = Schedule(faults)});
}

Stroke held(double travel, double duration) { return {{0.0, 0.3, 0.8, duration}, {0.0, 0.0, travel, travel}}; }

bool asleep_at_all(const bench::Run& r) {
    const auto awake = r.record.column("controller.awake");
    return std::find(awake.begin(), awake.end(), 0.0) != awake.end();
}

/// Never further open than asked or than the springs leave it, but for the twitch of 3 % after a boot.
void expect_never_opens_by_itself(const bench::Run& r) {
    const auto blade = r.record.column("blade.opening"), asked = r.record.column("asked");
    const double rest = learned().default_opening + 0.03;
    double worst = 0.0;
    for (std::size_t k = 0; k < blade.size(); ++k) worst = std::max(worst, blade[k] - std::max(asked[k], rest));
    EXPECT_LT(worst, 0.02);
}

/// The loop follows again at the end, without a learn, and nothing but the supply has a code.
void expect_back(const bench::Run& r) {
    ASSERT_TRUE(r.outcome.ok());
    EXPECT_NEAR(r.record.column("blade.opening").back(), r.record.column("asked").back(), 0.01);
    EXPECT_EQ(r.record.column("controller.awake").back(), 1.0);
    EXPECT_EQ(r.record.column("bridge.state").back(), 0.0);
    EXPECT_EQ(r.record.column("reaction").back(), 0.0);
    for (const auto& code : r.codes) EXPECT_EQ(code.code.substr(0, 4), "P056") << code.text();
}

bool has(const bench::Run& r, const std::string& text) {
    return std::any_of(r.codes.begin(), r.codes.end(), [&](const auto& c) { return c.text() == text; });
}

// 4.6.1.1 and 4.6.3.
class Profiles : public testing::TestWithParam<std::string> {};

TEST_P(Profiles, NeverOpenTheBladeAndGiveTheLoopBack) {
    for (const double travel : {0.0, 0.5, 1.0}) {
        const auto r =
            driven({{.where = "supply", .what = GetParam(), .from = milliseconds(2000)}}, held(travel, 15.0));
        expect_never_opens_by_itself(r);
        expect_back(r);
    }
}

TEST_P(Profiles, TenInARow) {
    std::vector<Fault> faults;
    const Time length =
        GetParam().ends_with("2") || GetParam().ends_with("4") ? milliseconds(12500) : milliseconds(3500);
    for (int k = 0; k < 10; ++k)
        faults.push_back({.where = "supply",
                          .what = GetParam(),
                          .from = milliseconds(2000) + k * length,
                          .to = milliseconds(1999) + (k + 1) * length});
    const auto r = driven(faults, held(0.3, seconds(milliseconds(2000) + 10 * length)));
    expect_never_opens_by_itself(r);
    expect_back(r);
}

INSTANTIATE_TEST_SUITE_P(Iso16750, Profiles,
                         testing::Values("momentary_drop", "start_level_1", "start_level_2", "start_level_3",
                                         "start_level_4"),
                         [](const auto& test) { return test.param; });

TEST(Supply, TheProfilesThatStarveTheControllerAreTold) {
    for (const auto& [what, reset] : {std::pair{"momentary_drop", false},
                                      {"start_level_1", false},
                                      {"start_level_2", false},
                                      {"start_level_3", true},
                                      {"start_level_4", false}}) {
        const auto r = driven({{.where = "supply", .what = what, .from = milliseconds(2000)}}, held(0.5, 14.0));
        EXPECT_EQ(asleep_at_all(r), reset) << what;
        EXPECT_EQ(has(r, "P0560-16"), reset) << what;
    }
}

// 4.6.2: from the least supply down in steps of 5 % of it, 5 s there, 10 s back; code C begins at 9 V.
TEST(Supply, ResetBehaviourAtFallingVoltage) {
    std::vector<Fault> faults;
    for (int k = 1; k <= 20; ++k)
        faults.push_back({.where = "supply",
                          .what = "scale",
                          .from = milliseconds(15000 * k - 10000),
                          .to = milliseconds(15000 * k - 5000),
                          .amount = 1.0 - 0.05 * k});
    BenchParameters p;
    p.supply = 9.0;
    p.record_period = 0.01;
    const auto r = driven(faults, held(0.5, 305.0), p);
    expect_never_opens_by_itself(r);
    expect_back(r);
    const auto awake = r.record.column("controller.awake"), blade = r.record.column("blade.opening");
    for (int k = 1; k <= 20; ++k) {
        const auto low = static_cast<std::size_t>(1500 * k - 550), back = static_cast<std::size_t>(1500 * k + 450);
        EXPECT_EQ(awake[low], 9.0 * (1.0 - 0.05 * k) > 4.25 ? 1.0 : 0.0) << k;
        EXPECT_NEAR(blade[back], r.record.column("asked")[back], 0.01) << k;
    }
    EXPECT_TRUE(has(r, "P0560-16"));
    EXPECT_TRUE(has(r, "P0562-16"));
    EXPECT_FALSE(has(r, "P0561-2F"));
}

TEST(Supply, AnOpenSupplyWireLeavesTheControllerDead) {
    const auto r = driven({{.where = "controller supply", .what = "open", .from = milliseconds(2000)}}, held(0.5, 4.0));
    const auto awake = r.record.column("controller.awake"), blade = r.record.column("blade.opening"),
               track = r.record.column("throttle.track1"), duty = r.record.column("duty");
    EXPECT_EQ(duty[2002], 0.0) << "the bridge locks out at once";
    EXPECT_EQ(awake[2010], 1.0) << "the buffer carries it for some 20 ms";
    EXPECT_EQ(awake[2040], 0.0);
    EXPECT_NEAR(track[2100], 0.0, 0.01) << "no reference";
    EXPECT_NEAR(blade.back(), learned().default_opening, 0.02);
    EXPECT_TRUE(r.codes.empty()) << "nobody is there to set one";
    expect_never_opens_by_itself(r);
}

TEST(Supply, AnOpenSupplyWireThatCloses) {
    const auto r =
        driven({{.where = "controller supply", .what = "open", .from = milliseconds(2000), .to = milliseconds(2300)}},
               held(0.5, 4.0));
    expect_back(r);
    ASSERT_TRUE(has(r, "P0560-16"));
    EXPECT_NEAR(seconds(r.codes.front().confirmed), 2.350, 0.003) << "at the end of the boot, in the time of the run";
}

TEST(Supply, ThreeVoltsHoldNothing) {
    BenchParameters p;
    p.supply = 3.3;
    const auto r = driven({}, held(1.0, 2.0), p);
    const auto awake = r.record.column("controller.awake"), blade = r.record.column("blade.opening");
    EXPECT_EQ(*std::max_element(awake.begin(), awake.end()), 0.0);
    EXPECT_LT(*std::max_element(blade.begin(), blade.end()), learned().default_opening + 0.01);
}

TEST(Supply, ABridgeThatLocksOutKeepsTheControllerAwake) {
    const auto r = driven({{.where = "supply",
                            .what = "scale",
                            .from = milliseconds(2000),
                            .to = milliseconds(3000),
                            .amount = 4.8 / 13.5}},
                          held(0.5, 5.0));
    EXPECT_FALSE(asleep_at_all(r));
    EXPECT_EQ(r.record.column("bridge.state")[2500], 1.0);
    EXPECT_NEAR(r.record.column("blade.opening")[2900], learned().default_opening, 0.02);
    EXPECT_TRUE(has(r, "P0562-16"));
    expect_never_opens_by_itself(r);
    expect_back(r);
}

// A tick more would heal the contact; each interruption of 60 ms resets the controller.
TEST(Supply, ASupplyThatDropsAgainAndAgainTakesThePowerAwayForGood) {
    std::vector<Fault> faults;
    for (int k = 0; k < 5; ++k)
        faults.push_back({.where = "controller supply",
                          .what = "open",
                          .from = milliseconds(2000 + 1000 * k),
                          .to = milliseconds(2060 + 1000 * k)});
    const auto four = driven({faults.begin(), faults.begin() + 4}, held(0.5, 9.0));
    expect_back(four);
    faults.push_back(
        {.where = "controller supply", .what = "open", .from = milliseconds(8000), .to = milliseconds(8100)});
    const auto r = driven(faults, held(0.5, 10.0));
    EXPECT_TRUE(has(r, "P0561-2F"));
    const auto reaction = r.record.column("reaction");
    EXPECT_EQ(reaction[7500], 3.0);
    EXPECT_EQ(reaction.back(), 3.0) << "a further reset does not end what a key cycle ends";
    EXPECT_NEAR(r.record.column("blade.opening").back(), learned().default_opening, 0.02);
}

TEST(Supply, CodesOutliveAReset) {
    const auto r =
        driven({{.where = "throttle signal 1", .what = "open", .from = milliseconds(1500)},
                {.where = "controller supply", .what = "open", .from = milliseconds(3000), .to = milliseconds(3200)}},
               held(0.5, 5.0));
    ASSERT_GE(r.codes.size(), 2U);
    EXPECT_EQ(r.codes[0].code, "P0122");
    EXPECT_NEAR(seconds(r.codes[0].confirmed), 1.6, 0.01);
    EXPECT_EQ(r.codes[1].text(), "P0560-16");
    const auto& e = r.history.entries();
    const auto found = std::find_if(e.begin(), e.end(), [](const auto& x) { return x.code.code == "P0122"; });
    EXPECT_EQ(found->count, 2) << "found anew after the boot";
    EXPECT_EQ(r.record.column("reaction").back(), 3.0);
}

TEST(Supply, TheControllerSleepsAfterItsAfterRun) {
    BenchParameters p;
    p.power.after_run = 0.5;
    const auto r = run(p, held(0.5, 4.0), {}, {.learned = learned(), .key_off = milliseconds(2000)});
    const auto awake = r.record.column("controller.awake");
    EXPECT_EQ(awake[2500], 1.0);
    EXPECT_EQ(awake[2501], 0.0);
    EXPECT_TRUE(r.codes.empty());
}

TEST(Supply, AnEngineHasNeitherFuelNorSparkWhileTheControllerSleeps) {
    BenchParameters p;
    p.engine.emplace();
    const auto r =
        driven({{.where = "controller supply", .what = "open", .from = milliseconds(6000), .to = milliseconds(6200)}},
               Stroke::rest(10.0), p);
    const auto fuel = r.record.column("engine.fuel"), spark = r.record.column("engine.spark");
    EXPECT_EQ(fuel[5990], 1.0);
    EXPECT_EQ(fuel[6100], 0.0);
    EXPECT_EQ(spark[6100], 0.0);
    EXPECT_EQ(spark[6300], 1.0);
}

TEST(Supply, ALearnThatLosesItsControllerIsInterrupted) {
    const LearnRun r = learn(
        BenchParameters{},
        {.faults = {
             {.where = "controller supply", .what = "open", .from = milliseconds(2000), .to = milliseconds(2200)}}});
    EXPECT_FALSE(r.result.accepted);
    EXPECT_EQ(r.result.refusal, control::Refusal::interrupted);
    EXPECT_EQ(r.state.size(), r.record.size());
}

// Law: what does not act changes no bit.
TEST(Supply, AHealthyBenchHasTheSameBitsWithoutIt) {
    for (const bool engine : {false, true}) {
        BenchParameters with, without;
        if (engine) with.engine.emplace(), without.engine.emplace();
        without.power.enabled = without.guard.enabled = false;
        const auto a = driven({}, Stroke::rest_half_full_rest(), with);
        const auto b = driven({}, Stroke::rest_half_full_rest(), without);
        for (const Signal& s : a.record.signals()) {
            const auto x = a.record.column(s.name), y = b.record.column(s.name);
            EXPECT_TRUE(std::equal(x.begin(), x.end(), y.begin(), y.end())) << s.name;
        }
    }
}

}  // namespace
