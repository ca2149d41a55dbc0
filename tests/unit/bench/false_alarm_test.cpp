// SPDX-License-Identifier: BSD-3-Clause
// Healthy benches must not set a code. A few in every run of the tests; TWINTRACK_DRAWS asks for more.
#include <gtest/gtest.h>

#include <map>

#include "support/healthy.hpp"
#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

constexpr double minute = 60.0;

struct Drive {
    Stroke foot, brake;
};

/// A minute of driving: the foot rests (braking or not), then presses somewhere, anything from a stamp of 80 ms to a
/// creep of 2 s, stays, and often moves on before it lets go. The shortest times are this bench's own.
Drive drive(support::Draw& draw) {
    std::vector<double> t{0.0}, x{0.0}, tb{0.0}, b{0.0};
    const auto to = [&](double travel, double within) {
        t.push_back(t.back() + within);
        x.push_back(travel);
    };
    const auto quick = [&] { return 0.08 * std::exp2(draw.uniform(0.0, 4.6)); };
    to(0.0, draw.uniform(0.6, 1.5));
    while (t.back() < minute - 12.0) {
        for (int moves = static_cast<int>(draw.uniform(1.0, 4.0)); moves > 0; --moves) {
            to(draw.uniform(0.02, 1.0), quick());
            to(x.back(), draw.uniform(0.05, 2.5));
        }
        to(0.0, quick());
        const double rest = draw.uniform(0.3, 2.5), hard = draw.uniform(0.0, 1.0);
        if (hard > 0.4) {  // the foot changes over to the brake
            const double from = t.back() + 0.1;
            tb.insert(tb.end(), {from, from + 0.1, from + 0.1 + rest, from + 0.2 + rest});
            b.insert(b.end(), {0.0, hard, hard, 0.0});
            to(0.0, rest + 0.4);
        } else {
            to(0.0, rest);
        }
    }
    to(0.0, minute - t.back());
    return {Stroke(t, x), Stroke(tb, b)};
}

struct Tally {
    int benches = 0, refused = 0, alarmed = 0;
    std::map<std::string, int> codes;

    [[nodiscard]] std::string text() const {
        std::string all = std::to_string(alarmed) + " of " + std::to_string(benches) + " benches:";
        for (const auto& [code, count] : codes) all += " " + code + " (" + std::to_string(count) + ")";
        return all;
    }
};

Tally drive_healthy(const monitor::MonitorParameters& watched, int count, std::optional<EngineSetup> engine = {}) {
    support::Draw draw(5);
    Tally tally;
    for (int n = 0; n < count; ++n) {
        BenchParameters p;
        support::draw_healthy(p, draw);
        p.monitor = watched;
        p.engine = engine;
        p.case_number = n;
        p.record_period = 0.1;
        const Drive d = drive(draw);
        const LearnRun l = learn(p);
        tally.refused += !l.result.accepted;
        if (!l.result.accepted) continue;
        ++tally.benches;
        const bench::Run r = run(p, d.foot, {}, {.learned = l.result.range, .brake = d.brake});
        EXPECT_TRUE(r.outcome.ok()) << n << ": " << r.outcome.reason;
        tally.alarmed += !r.codes.empty();
        for (const auto& code : r.codes) ++tally.codes[code.text()];
    }
    return tally;
}

TEST(FalseAlarms, AMinuteOfDrivingSetsNoCode) {
    const Tally t = drive_healthy({}, support::draws(5));
    EXPECT_EQ(t.refused, 0);
    EXPECT_EQ(t.alarmed, 0) << t.text();
    RecordProperty("benches", t.benches);
}

/// Idle and air flow are looked at too.
TEST(FalseAlarms, NorWithAnEngine) {
    for (const EngineSetup& engine : built_in_engines()) {
        const Tally t = drive_healthy({}, support::draws(2), engine);
        EXPECT_EQ(t.alarmed, 0) << engine.name << ": " << t.text();
    }
}

TEST(FalseAlarms, NorUnderTheStrictSetUp) {
    const Tally t = drive_healthy(monitor::strict(), support::draws(3));
    EXPECT_EQ(t.alarmed, 0) << t.text();
}

/// The function monitor agrees with the graded ladder.
TEST(FalseAlarms, NorUnderTheGradedSetUp) {
    const Tally t = drive_healthy(monitor::graded(), support::draws(2));
    EXPECT_EQ(t.alarmed, 0) << t.text();
}

}  // namespace
