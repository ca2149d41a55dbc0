// SPDX-License-Identifier: BSD-3-Clause
// A lane that sleeps, healthy or under the orders of a reaction, has the bits of one that is decided at every tick.
#include <gtest/gtest.h>

#include <bit>

#include "twintrack/bench/learn.hpp"
#include "twintrack/lanes/run.hpp"

namespace {

using namespace twintrack;
using lanes::Case;

bench::BenchParameters bench_of(const monitor::MonitorParameters& m, bench::WiringKind wiring) {
    bench::BenchParameters p;
    p.wiring.kind = wiring;
    p.monitor = m;
    p.guard.enabled = p.power.enabled = false;  // a supply that fails is the exact solver's
    return p;
}

const control::LearnedRange& learned(bench::WiringKind wiring) {
    static const auto ideal = *bench::learn(bench_of({}, bench::WiringKind::ideal)).result.range;
    static const auto wired = *bench::learn(bench_of({}, bench::WiringKind::harness)).result.range;
    return wiring == bench::WiringKind::ideal ? ideal : wired;
}

Case base(const monitor::MonitorParameters& m, bench::WiringKind wiring = bench::WiringKind::ideal) {
    return {.bench = bench_of(m, wiring),
            .stroke = {{0.0, 0.4, 0.5, 1.6, 1.7, 2.2, 2.8, 3.2}, {0.0, 0.0, 0.7, 0.7, 0.1, 0.1, 0.9, 0.9}},
            .learned = learned(wiring)};
}

/// The same case with a check that finds nothing and that lanes do not know: decided alone.
Case host_every_tick(Case c) {
    c.bench.monitor.volts_band = {.enabled = true, .low = 0.0, .high = 12.0};
    return c;
}

std::vector<fault::Fault> faults() {
    std::vector<fault::Fault> all;
    for (const fault::Kind& kind : fault::catalogue()) {
        const std::string where = kind.where, what = kind.what;
        if (where.ends_with("track3") || where == "manifold" || where == "brake" || what == "lag") continue;
        if (where == "pedal.idle_switch") continue;
        fault::Fault f{.where = where, .what = what, .from = milliseconds(700)};
        const bool scale = what == "scale" || what == "gain";
        if (kind.most > kind.least) f.amount = scale ? 0.4 : what == "torque" ? 0.8 : 0.25 * kind.most;
        all.push_back(f);
        if (what == "gain") f.amount = 0.0, all.push_back(f);
        if (what == "offset") f.amount = -1.0, all.push_back(f);
        if (what == "offset") f.amount = 0.13, f.ramp = milliseconds(300), all.push_back(f);
        if (what == "frozen" || what == "noise") f.to = milliseconds(1500), all.push_back(f);
    }
    return all;
}

bool same(const Record& a, const Record& b) {
    const auto bits = [](double x) { return std::bit_cast<std::uint64_t>(x); };
    for (const Signal& s : a.signals()) {
        const auto x = a.column(s.name), y = b.column(s.name);
        if (!std::equal(x.begin(), x.end(), y.begin(), y.end(), [&](double p, double q) { return bits(p) == bits(q); }))
            return false;
    }
    return a.time().size() == b.time().size();
}

/// Runs the cases as they are and kept awake, side by side; ticks decided by the host of those that slept.
std::vector<std::int64_t> expect_the_same_bits(const std::vector<Case>& cases, const std::vector<std::string>& names) {
    std::vector<Case> awake;
    for (const Case& c : cases) awake.push_back(host_every_tick(c));
    const lanes::Options options{
        .threads = 1,
        .signals = {"asked", "demand", "set_point", "opening", "blade.angle", "duty", "motor.current", "reaction"}};
    const auto ours = lanes::run(cases, options), others = lanes::run(awake, options);
    std::vector<std::int64_t> decided;
    for (std::size_t k = 0; k < cases.size(); ++k) {
        EXPECT_TRUE(same(ours[k].record, others[k].record)) << names[k];
        EXPECT_EQ(ours[k].codes.size(), others[k].codes.size()) << names[k];
        for (std::size_t n = 0; n < std::min(ours[k].codes.size(), others[k].codes.size()); ++n) {
            EXPECT_EQ(ours[k].codes[n].text(), others[k].codes[n].text()) << names[k];
            EXPECT_EQ(ours[k].codes[n].confirmed, others[k].codes[n].confirmed) << names[k];
        }
        EXPECT_EQ(ours[k].reaction, others[k].reaction) << names[k];
        EXPECT_GE(others[k].decided, 3200) << names[k] << ": not kept awake";
        decided.push_back(ours[k].decided);
    }
    return decided;
}

struct SetUp {
    const char* name;
    monitor::MonitorParameters monitor;
};

std::vector<SetUp> set_ups() {
    return {{"default", {}},
            {"strict", monitor::strict()},
            {"graded", monitor::graded()},
            {"careless", monitor::careless()}};
}

TEST(LanesAsleep, HaveTheBitsOfALaneThatIsAwakeUnderEveryFaultAndSetUp) {
    for (const auto wiring : {bench::WiringKind::ideal, bench::WiringKind::harness}) {
        std::vector<Case> cases;
        std::vector<std::string> names;
        for (const auto& [name, m] : set_ups())
            for (const fault::Fault& f : faults()) {
                cases.push_back(base(m, wiring));
                cases.back().faults = {f};
                names.push_back(std::string(name) + ", " + f.where + " " + f.what);
            }
        EXPECT_GT(cases.size(), 100u);
        expect_the_same_bits(cases, names);
    }
}

TEST(LanesAsleep, HealthyCasesAreSeldomDecidedAloneWhateverTheSetUp) {
    std::vector<Case> cases;
    std::vector<std::string> names;
    for (const auto& [name, m] : set_ups()) cases.push_back(base(m)), names.emplace_back(name);
    const auto decided = expect_the_same_bits(cases, names);
    for (std::size_t k = 0; k < cases.size(); ++k) EXPECT_LT(decided[k], 400) << names[k];
}

TEST(LanesAsleep, ACodeThatIsSetDoesNotKeepThemAwake) {
    std::vector<Case> cases;
    std::vector<std::string> names;
    for (const auto& [where, what, amount] :
         {std::tuple{"pedal.track2", "gain", 0.0}, std::tuple{"pedal.track1", "gain", 0.0},
          std::tuple{"throttle.track2", "gain", 0.0}, std::tuple{"throttle.track1", "frozen", 0.0}}) {
        cases.push_back(base({}));
        cases.back().faults = {{.where = where, .what = what, .from = milliseconds(450), .amount = amount}};
        names.push_back(std::string(where) + " " + what);
    }
    const auto decided = expect_the_same_bits(cases, names);
    for (std::size_t k = 0; k < cases.size(); ++k) EXPECT_LT(decided[k], 800) << names[k];
}

TEST(LanesAsleep, NorDoLimitedDemandAndALeadingTrackThatIsLost) {
    std::vector<Case> cases;
    std::vector<std::string> names;
    for (const char* where : {"pedal.track1", "pedal.track2", "throttle.track1", "throttle.track2"}) {
        cases.push_back(base(monitor::graded()));
        cases.back().faults = {{.where = where, .what = "offset", .from = milliseconds(450), .amount = -1.0}};
        names.emplace_back(where);
    }
    const auto decided = expect_the_same_bits(cases, names);
    for (std::size_t k = 0; k < cases.size(); ++k) EXPECT_LT(decided[k], 900) << names[k];
}

}  // namespace
