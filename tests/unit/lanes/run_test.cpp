// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/lanes/run.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/draw.hpp"
#include "support/flicker.hpp"
#include "twintrack/study/case.hpp"

namespace {

using namespace twintrack;
using lanes::Case;

const std::vector<std::string> judged = {"blade.opening", "asked"};

bench::BenchParameters ideal() {
    bench::BenchParameters p;
    p.wiring.kind = bench::WiringKind::ideal;
    return p;
}

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *bench::learn(ideal()).result.range;
    return range;
}

bench::Stroke quick() { return {{0.0, 0.3, 0.4, 0.9, 1.0, 1.4}, {0.0, 0.0, 0.7, 0.7, 0.1, 0.1}}; }

/// Bodies, friction, supply and noise differ from case to case; every third one has a fault.
std::vector<Case> mixed(int count) {
    support::Draw draw(7);
    std::vector<Case> cases;
    const std::vector<std::pair<const char*, const char*>> faults = {
        {"pedal.track1", "offset"},    {"pedal.track2", "gain"},        {"throttle.track1", "offset"},
        {"throttle.track2", "frozen"}, {"body.return_spring", "scale"}, {"supply", "scale"},
        {"blade", "torque"},           {"body.friction", "scale"}};
    for (int k = 0; k < count; ++k) {
        Case c{.bench = ideal(), .stroke = quick(), .learned = learned()};
        auto& m = c.bench.body.mechanics;
        m.friction.coulomb *= draw.uniform(0.7, 1.3);
        m.friction.breakaway = m.friction.coulomb * draw.uniform(1.0, 1.5);
        m.inertia *= draw.uniform(0.8, 1.2);
        m.motor.resistance *= draw.uniform(0.9, 1.3);
        c.bench.supply = draw.uniform(11.0, 14.5);
        c.bench.guard.enabled = c.bench.power.enabled = false;  // a supply that fails is the exact solver's
        c.bench.case_number = k;
        if (k % 3 == 0) {
            const auto& [where, what] = faults[static_cast<std::size_t>(k / 3) % faults.size()];
            fault::Fault f{.where = where, .what = what, .from = from_seconds(draw.uniform(0.0, 1.2))};
            const bool scale = std::string(what) == "scale" || std::string(what) == "gain";
            f.amount = std::string(what) == "frozen" ? 0.0 : scale ? draw.uniform(0.3, 1.8) : draw.uniform(-0.3, 0.3);
            if (k % 2 == 0 && std::string(what) != "frozen") f.ramp = milliseconds(200);
            c.faults = {f};
        }
        cases.push_back(std::move(c));
    }
    return cases;
}

void expect_same(const lanes::Result& a, const lanes::Result& b, const std::string& what) {
    EXPECT_EQ(a.mean_error, b.mean_error) << what << a.index;
    EXPECT_EQ(a.largest_error, b.largest_error) << what << a.index;
    EXPECT_EQ(a.largest_opening, b.largest_opening) << what << a.index;
    EXPECT_EQ(a.final_opening, b.final_opening) << what << a.index;
    EXPECT_EQ(a.codes.size(), b.codes.size()) << what << a.index;
    EXPECT_EQ(a.reaction, b.reaction) << what << a.index;
    EXPECT_EQ(std::isnan(a.reacted_at), std::isnan(b.reacted_at)) << what << a.index;
    if (!std::isnan(a.reacted_at)) {
        EXPECT_EQ(a.reacted_at, b.reacted_at) << what << a.index;
    }
}

void expect_same(const std::vector<lanes::Result>& a, const std::vector<lanes::Result>& b, const std::string& what) {
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t k = 0; k < a.size(); ++k) expect_same(a[k], b[k], what);
}

TEST(Lanes, GiveTheSameBitsOnEveryInstructionSet) {
    const std::vector<Case> cases = mixed(100);
    const auto reference = lanes::run(cases, {.threads = 1, .instruction_set = "baseline"});
    for (const std::string& set : lanes::instruction_sets())
        expect_same(reference, lanes::run(cases, {.threads = 1, .instruction_set = set}), set + " ");
}

TEST(Lanes, GiveTheSameBitsOnAnyThreadCountAndWhateverIsBeside) {
    const std::vector<Case> cases = mixed(80);
    const auto reference = lanes::run(cases, {.threads = 1});
    expect_same(reference, lanes::run(cases, {.threads = 3}), "three threads ");
    for (const std::size_t k : {0, 3, 17, 79}) {
        auto alone = lanes::run({cases[k]}, {});
        alone[0].index = k;
        expect_same(reference[k], alone[0], "alone ");
    }
    expect_same(reference, lanes::run(cases, {.threads = 1, .signals = judged}), "recorded ");
}

// A stop that is followed by nothing changes nothing, but its controller runs one by one.
TEST(Lanes, DecideTogetherAsTheControllerDoesAlone) {
    std::vector<Case> cases = mixed(64), alone = cases;
    for (Case& c : alone) c.bench.controller.closed_stop = {.enabled = true, .rate = 0.0};
    expect_same(lanes::run(cases, {}), lanes::run(alone, {}), "alone ");
}

TEST(Lanes, SetPointOfAHealthyLoopHasTheBitsOfTheBench) {
    Case c{.bench = ideal(), .stroke = quick(), .learned = learned()};
    const std::vector<std::string> names = {"pedal.travel", "pedal.track1", "pedal.track2", "asked", "demand"};
    const auto ours = lanes::run({c}, {.signals = names});
    const bench::Run exact = bench::run(c.bench, c.stroke, {}, {.learned = learned()});
    ASSERT_EQ(ours[0].record.size(), exact.record.size());
    for (const std::string& name : names)
        for (std::size_t k = 0; k < exact.record.size(); ++k)
            ASSERT_EQ(ours[0].record.column(name)[k], exact.record.column(name)[k]) << name << " row " << k;
}

// Codes, and the millisecond in which they come, are those of the exact solver wherever no blade is asked.
TEST(Lanes, ConfirmThePedalsFaultsWhenTheBenchDoes) {
    for (const double offset : {0.2, -0.25, 0.07}) {
        Case c{.bench = ideal(), .stroke = quick(), .learned = learned()};
        c.faults = {{.where = "pedal.track2", .what = "offset", .from = milliseconds(500), .amount = offset}};
        const auto ours = lanes::run({c}, {})[0];
        const bench::Run exact =
            bench::run(c.bench, c.stroke, {}, {.learned = learned(), .faults = fault::Schedule(c.faults)});
        ASSERT_EQ(ours.codes.size(), exact.codes.size());
        ASSERT_FALSE(ours.codes.empty());
        for (std::size_t k = 0; k < exact.codes.size(); ++k) {
            EXPECT_EQ(ours.codes[k].text(), exact.codes[k].text());
            EXPECT_EQ(ours.codes[k].confirmed, exact.codes[k].confirmed);
        }
        EXPECT_EQ(ours.reacted_at, seconds(exact.codes.front().confirmed));
    }
}

// What is left of an earlier blindness keeps a lane awake, so that it adds up as it does on the bench.
TEST(Lanes, AddUpBlindDrivingAsTheBenchDoes) {
    for (const char* assembly : {"pedal", "throttle"})
        for (const double budget : {0.06, 0.11, 0.25}) {
            Case c{.bench = ideal(),
                   .stroke = quick(),
                   .learned = learned(),
                   .faults = support::flicker(assembly, milliseconds(500), 4)};
            c.bench.monitor.blind.confirm_time = budget;
            const auto ours = lanes::run({c}, {})[0];
            const bench::Run exact =
                bench::run(c.bench, c.stroke, {}, {.learned = learned(), .faults = fault::Schedule(c.faults)});
            ASSERT_EQ(exact.codes.size(), 1U) << assembly << budget;
            EXPECT_EQ(exact.codes[0].failure_type, "29");
            ASSERT_EQ(ours.codes.size(), 1U) << assembly << budget;
            EXPECT_EQ(ours.codes[0].text(), exact.codes[0].text());
            EXPECT_EQ(ours.codes[0].confirmed, exact.codes[0].confirmed);
            EXPECT_EQ(static_cast<double>(ours.reaction), exact.record.column("reaction").back());
        }
}

TEST(Lanes, ANeverLearnedControllerDoesNotAnswer) {
    const auto r = lanes::run({Case{.bench = ideal(), .stroke = quick()}}, {})[0];
    ASSERT_EQ(r.codes.size(), 1U);
    EXPECT_EQ(r.codes[0].code, "P2176");
    EXPECT_EQ(r.reacted_at, 0.0);
}

TEST(Lanes, JudgeMixedCasesAsTheExactSolverDoes) {
    const std::vector<Case> cases = mixed(120);
    const auto ours = lanes::run(cases, {.signals = judged});
    int differ = 0;
    for (std::size_t k = 0; k < cases.size(); ++k) {
        const Case& c = cases[k];
        const bench::Run exact =
            bench::run(c.bench, c.stroke, {}, {.learned = learned(), .faults = fault::Schedule(c.faults)});
        const auto a = study::judge(ours[k].record, c.stroke).response,
                   b = study::judge(exact.record, c.stroke).response;
        differ += a != b || ours[k].codes.size() != exact.codes.size();
    }
    EXPECT_EQ(differ, 0);
}

TEST(Lanes, RefuseWhatTheyCannotRunAndSayWhich) {
    const auto where = [](Case bad) {
        std::vector<Case> cases = mixed(40);
        cases[5] = std::move(bad);
        try {
            (void)lanes::run(cases, {});
        } catch (const InvalidParameter& e) {
            return e.where();
        }
        return std::string();
    };
    Case c{.bench = ideal(), .stroke = quick(), .learned = learned()};
    Case wires = c, simple = c, period = c, fault = c, value = c;
    wires.bench.wiring.kind = bench::WiringKind::harness;
    wires.faults = {{.where = "motor +", .what = "open", .every = milliseconds(50), .lasting = milliseconds(3)}};
    EXPECT_EQ(where(wires), "cases[6].faults");
    wires.bench.wiring.kind = bench::WiringKind::ideal;
    wires.faults = {{.where = "motor +", .what = "open"}};
    EXPECT_EQ(where(wires), "cases[6].faults");
    simple.bench.body.mechanics.friction.kind = plant::FrictionKind::simple;
    EXPECT_EQ(where(simple), "cases[6].bench.body.mechanics.friction.kind");
    period.bench.control_period = period.bench.record_period = 0.002;
    EXPECT_EQ(where(period), "cases[6].bench.control_period");
    fault.faults = {{.where = "nowhere", .what = "offset"}};
    EXPECT_EQ(where(fault), "cases[6].faults[1].where");
    value.bench.supply = NAN;
    EXPECT_EQ(where(value), "cases[6].bench.supply");
    EXPECT_THROW((void)lanes::run({c}, {.substep = 1e-3}), InvalidParameter);
    EXPECT_THROW((void)lanes::run({c}, {.threads = -1}), InvalidParameter);
    EXPECT_THROW((void)lanes::run({c}, {.signals = {"speed"}}), InvalidParameter);
    EXPECT_THROW((void)lanes::run({c}, {.instruction_set = "abacus"}), InvalidParameter);
}

TEST(Lanes, StopWhenAskedAndKeepWhatIsDone) {
    const std::vector<Case> cases = mixed(1);
    std::size_t done = 0;
    const bool all = lanes::run(
        1000000, [&](std::size_t) { return cases[0]; }, {.threads = 2}, [&](lanes::Result&&) { ++done; },
        [&] { return done > 100; });
    EXPECT_FALSE(all);
    EXPECT_GT(done, 100U);
    EXPECT_LT(done, 1000000U);
}

TEST(Lanes, TakeCasesOfEveryLength) {
    std::vector<Case> cases = mixed(70);
    for (std::size_t k = 0; k < cases.size(); ++k) cases[k].duration = 0.002 * static_cast<double>(k);
    const auto results = lanes::run(cases, {.threads = 2, .signals = judged});
    for (std::size_t k = 0; k < cases.size(); ++k) {
        EXPECT_EQ(results[k].index, k);
        EXPECT_EQ(results[k].record.size(), 2 * k + 1);
        EXPECT_EQ(results[k].outcome.when, milliseconds(2) * static_cast<int>(k));
    }
    EXPECT_TRUE(lanes::run(std::vector<Case>{}, {}).empty());
}

}  // namespace
