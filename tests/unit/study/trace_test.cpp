// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/trace.hpp"
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <stdexcept>

#include "twintrack/bench/run.hpp"
#include "twintrack/study/verdict.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::study;

TEST(Trace, AddsSignalsAndFiguresAndRefusesWhatDoesNotFit) {
    Record r({Signal{"x", ""}});
    const double row[] = {1.0};
    r.append(milliseconds(0), row);
    r.append(milliseconds(1), row);
    Trace t(r);
    t.add("figure", 3.0);
    EXPECT_EQ((*t.find("figure"))[1], 3.0);
    EXPECT_FALSE(t.find("y"));
    EXPECT_THROW(t.add("x", 1.0), InvalidParameter);
    EXPECT_THROW(t.add("figure", 1.0), InvalidParameter);
    EXPECT_THROW(t.add("short", std::vector<double>{1.0}), InvalidParameter);
    r.append(milliseconds(0), row);
    EXPECT_THROW(Trace{r}, InvalidParameter) << "time goes back";
}

/// The default bench after its learn, driven through the usual stroke.
bench::Run healthy(const bench::BenchParameters& p, const control::LearnedRange& learned,
                   std::vector<fault::Fault> faults = {}) {
    return bench::run(p, bench::Stroke::rest_half_full_rest(), {},
                      {.learned = learned, .faults = fault::Schedule(std::move(faults))});
}

Verdict of(const std::vector<Verdict>& all, const std::string& name) {
    for (const auto& v : all)
        if (v.rule == name) return v;
    throw std::runtime_error(name);
}

class OnABench : public testing::Test {
protected:
    bench::BenchParameters p;
    control::LearnResult learned = bench::learn(p, bench::Stroke::two_presses()).result;

    std::vector<Verdict> verdicts(std::vector<fault::Fault> faults = {}) {
        const auto run = healthy(p, *learned.range, std::move(faults));
        return judge(built_in_rules(), observed(run.record, p, learned.range));
    }
};

TEST_F(OnABench, OfTwoTracksTheWorseIsOutsideTheBandAndOfThreeTheSecondWorst) {
    Record record(bench::recorded_signals());
    std::vector<double> row(record.signals().size(), 2.5);
    const double volts[2][3] = {{4.9, 2.0, 1.0}, {4.9, 0.1, 1.0}};  // the band: 4 to 96 % of 5 V
    for (int i = 0; i < 2; ++i) {
        std::copy_n(volts[i], 3, row.begin() + 1);
        record.append(milliseconds(i), row);
    }
    ASSERT_EQ(record.signals()[1].name, "pedal.track1");
    const auto outside = [&](std::size_t i) { return (*observed(record, p, {}).find("pedal.outside"))[i]; };
    EXPECT_NEAR(outside(0), 0.1, 1e-12);
    EXPECT_NEAR(outside(1), 0.1, 1e-12);
    p.pedal.tracks.push_back({.position = {0.0, 1.0}, .ratio = {0.2, 0.6}});
    EXPECT_NEAR(outside(0), -0.8, 1e-12) << "the two others are in their band";
    EXPECT_NEAR(outside(1), 0.1, 1e-12);
    EXPECT_FALSE(observed(record, p, {}).find("pedal.mismatch")) << "nothing was learned";
}

TEST_F(OnABench, AHealthyPairFailsNoRule) {
    ASSERT_TRUE(learned.accepted) << learned.reason;
    int passed = 0;
    for (const auto& v : verdicts()) {
        EXPECT_NE(v.finding, Finding::failed) << v.rule << " at " << v.when.value_or(-1) << " s by " << *v.margin;
        if (v.finding == Finding::not_applicable) {
            EXPECT_FALSE(v.reason.empty()) << v.rule;
        }
        passed += v.finding == Finding::passed;
    }
    EXPECT_GE(passed, 11);
}

TEST_F(OnABench, AMonitorThatAnswersKeepsTheRulesAndOneThatSleepsBreaksThem) {
    // A pedal track that drifts away by a fifth of its supply at 3 s, while the foot holds half (invented fault).
    const std::vector<fault::Fault> drift = {
        {.where = "pedal.track1", .what = "offset", .from = milliseconds(3000), .amount = 0.2}};
    EXPECT_EQ(of(verdicts(drift), "pedal tracks agree").finding, Finding::passed);
    p.monitor.correlation.enabled = false;
    const auto asleep = verdicts(drift);
    const Verdict v = of(asleep, "pedal tracks agree");
    EXPECT_EQ(v.finding, Finding::failed);
    EXPECT_NEAR(*v.when, 3.101, 1e-9) << "seen from 3.000 s on, more than 100 ms";
    EXPECT_LT(*v.margin, -0.1);
}

TEST_F(OnABench, TwoTracksWrongAlikePassTheTracksAndFailTheBlade) {
    // Both tracks read a third of the travel too much from 3 s on (invented fault): no pair disagrees.
    const auto all =
        verdicts({{.where = "pedal.track1", .what = "offset", .from = milliseconds(3000), .amount = 0.21},
                  {.where = "pedal.track2", .what = "offset", .from = milliseconds(3000), .amount = 0.105}});
    EXPECT_EQ(of(all, "pedal tracks agree").finding, Finding::passed);
    const Verdict v = of(all, "no unasked opening");
    EXPECT_EQ(v.finding, Finding::failed);
    EXPECT_GT(*v.when, 3.5);
    EXPECT_LT(*v.when, 3.6) << "0.5 s after the blade went";
    EXPECT_LT(*v.margin, -0.1);
}

TEST_F(OnABench, ThreeTracksMayGoOnWithTwoThatAgree) {
    p.pedal.tracks.push_back({.position = {0.0, 1.0}, .ratio = {0.2, 0.6}});
    learned = bench::learn(p, bench::Stroke::two_presses()).result;
    ASSERT_TRUE(learned.accepted) << learned.reason;
    const auto run = healthy(p, *learned.range,
                             {{.where = "pedal.track1", .what = "offset", .from = milliseconds(3000), .amount = 0.2}});
    const Trace trace = observed(run.record, p, learned.range);
    EXPECT_EQ((*trace.find("pedal.tracks"))[0], 3.0);
    const auto mismatch = *trace.find("pedal.mismatch");
    EXPECT_LT(*std::max_element(mismatch.begin(), mismatch.end()), 0.05) << "tracks 2 and 3 still agree";
}

}  // namespace
