// SPDX-License-Identifier: BSD-3-Clause
// What trips on a step of a voltage trips on the same tick in lanes as in the exact solver: nothing of it hangs on
// noise.
#include <gtest/gtest.h>

#include "twintrack/bench/learn.hpp"
#include "twintrack/lanes/run.hpp"

namespace {

using namespace twintrack;

bench::BenchParameters ideal() {
    bench::BenchParameters p;
    p.wiring.kind = bench::WiringKind::ideal;
    p.guard.enabled = p.power.enabled = false;  // a supply that fails is the exact solver's
    return p;
}

/// (code, tick it was confirmed on) of both solvers.
using Codes = std::vector<std::pair<std::string, std::int64_t>>;

Codes codes_of(const std::vector<monitor::TroubleCode>& codes) {
    Codes all;
    for (const auto& code : codes) all.emplace_back(code.text(), code.confirmed.count());
    return all;
}

TEST(LanesCodeTimes, AVoltageOutOfItsWindowIsConfirmedOnTheTickOfTheExactSolver) {
    static const control::LearnedRange learned = *bench::learn(ideal()).result.range;
    struct Step {
        const char* where;
        double scale;
    };
    for (const auto& [where, scale] : {Step{"supply", 0.4}, {"supply", 1.4}, {"reference", 0.8}, {"reference", 1.2}})
        for (const int start : {0, 1, 700}) {
            lanes::Case c{.bench = ideal(), .stroke = {{0.0, 3.0}, {0.0, 0.0}}, .learned = learned};
            c.faults = {{.where = where, .what = "scale", .from = milliseconds(start), .amount = scale}};
            const auto ours = lanes::run({c}, {.signals = {"asked"}});
            const auto exact =
                bench::run(c.bench, c.stroke, {}, {.learned = c.learned, .faults = fault::Schedule(c.faults)});
            EXPECT_FALSE(exact.codes.empty()) << where << " × " << scale;
            EXPECT_EQ(codes_of(ours[0].codes), codes_of(exact.codes)) << where << " × " << scale << " from " << start;
        }
}

}  // namespace
