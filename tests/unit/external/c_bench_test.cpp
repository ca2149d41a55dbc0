// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/c/bench.h"

#include <gtest/gtest.h>

#include <array>
#include <cstddef>
#include <string>

#include "twintrack/bench/run.hpp"

using namespace twintrack;

namespace {

/// A bench by its C functions, which must all answer 0.
class Host {
public:
    explicit Host(const char* json) : bench_(twintrack_bench_new(json, error_.data(), error_.size())) {
        EXPECT_NE(bench_, nullptr) << error_.data();
    }
    explicit Host(twintrack_bench* bench) : bench_(bench) { EXPECT_NE(bench_, nullptr); }
    ~Host() { twintrack_bench_delete(bench_); }
    Host(const Host&) = delete;
    Host& operator=(const Host&) = delete;

    operator twintrack_bench*() { return bench_; }  // NOLINT: as a C program passes it
    void good(int status) { EXPECT_EQ(status, 0) << twintrack_bench_error(bench_); }
    std::size_t at(const char* name) {
        const int found = twintrack_bench_find(bench_, name);
        EXPECT_GE(found, 0) << name;
        return static_cast<std::size_t>(found);
    }
    double get(const char* name) {
        double value = 0.0;
        good(twintrack_bench_get(bench_, at(name), &value));
        return value;
    }
    std::string text(const char* name) { return twintrack_bench_text(bench_, at(name)); }
    void set(const char* name, double value) { good(twintrack_bench_set(bench_, at(name), value)); }
    void start() { good(twintrack_bench_start(bench_)); }
    void step(std::size_t ticks = 1) { good(twintrack_bench_step(bench_, ticks)); }

private:
    std::array<char, 400> error_{};
    twintrack_bench* bench_;
};

constexpr const char* healthy = R"({"learned": "fresh"})";

}  // namespace

TEST(CBench, EverySignalIsThatOfARunToTheBit) {
    Host host(healthy);
    host.start();
    const bench::BenchParameters p;
    const auto run =
        bench::run(p, bench::Stroke::rest_half_full_rest(), 3.0, {.learned = bench::learn(p).result.range});
    for (std::size_t i = 0; i < run.record.size(); ++i) {
        if (i > 0) host.step();
        for (const Signal& s : run.record.signals())
            ASSERT_EQ(host.get(s.name.c_str()), run.record.column(s.name)[i]) << s.name << " at " << i;
    }
    EXPECT_EQ(twintrack_bench_time(host), 3.0);
    EXPECT_EQ(host.get("tick"), 3.0);
    EXPECT_GT(host.get("blade.opening"), 0.3);
}

TEST(CBench, FaultsByNameAreThoseOfASchedule) {
    Host host(healthy);
    host.start();
    host.step(999);
    twintrack_fault fault{sizeof fault, 0, "pedal.track1", "offset", nullptr, 0.2, 0.0, 0.0, 0.0};
    host.good(twintrack_bench_inject(host, &fault));
    host.step(500);
    host.good(twintrack_bench_remove(host, "pedal.track1", "offset"));
    host.step(501);
    const bench::BenchParameters p;
    fault::Fault same{
        .where = "pedal.track1", .what = "offset", .from = milliseconds(1000), .to = milliseconds(1500), .amount = 0.2};
    const auto run = bench::run(p, bench::Stroke::rest_half_full_rest(), 2.0,
                                {.learned = bench::learn(p).result.range, .faults = fault::Schedule({same})});
    ASSERT_FALSE(run.codes.empty());
    EXPECT_EQ(host.get("code_count"), static_cast<double>(run.codes.size()));
    EXPECT_EQ(host.text("codes").substr(0, 5), run.codes[0].code);
    EXPECT_EQ(host.get("blade.angle"), run.record.column("blade.angle").back());
    EXPECT_NE(twintrack_bench_remove(host, "pedal.track1", "offset"), 0);
    EXPECT_NE(std::string(twintrack_bench_error(host)).find("there is no 'offset'"), std::string::npos);
}

TEST(CBench, SavedRestoredAndForkedItGoesOnWithTheSameBits) {
    Host host(healthy);
    host.start();
    host.step(1200);
    twintrack_saved* saved = twintrack_bench_save(host);
    Host fork(twintrack_bench_fork(host));
    host.step(700);
    const double angle = host.get("blade.angle"), current = host.get("motor.current");
    fork.step(700);
    EXPECT_EQ(fork.get("blade.angle"), angle);
    host.good(twintrack_bench_restore(host, saved));
    EXPECT_EQ(twintrack_bench_time(host), 1.2);
    EXPECT_NE(host.get("blade.angle"), angle);
    host.step(700);
    EXPECT_EQ(host.get("blade.angle"), angle);
    EXPECT_EQ(host.get("motor.current"), current);
    twintrack_saved_delete(saved);
}

TEST(CBench, APlantIsDrivenByHand) {
    Host host(R"({"kind": "plant"})");
    host.start();
    EXPECT_GT(host.get("reading.throttle[1]"), 0.0);
    host.set("input.duty", 0.4);
    host.step(300);
    EXPECT_GT(host.get("blade.opening"), 0.5);
    EXPECT_EQ(twintrack_bench_find(host, "codes"), -1);
    host.set("input.mode", 2.0);
    host.step(600);
    EXPECT_LT(host.get("blade.opening"), 0.2);  // the springs take it back
    EXPECT_EQ(host.get("bridge.mode"), 2.0);
}

TEST(CBench, VariablesSayWhatTheyAre) {
    Host host("{}");
    twintrack_variable v{};
    v.size = sizeof v;
    host.good(twintrack_bench_variable(host, host.at("bench.body.mechanics.motor.resistance"), &v));
    EXPECT_STREQ(v.unit, "ohm");
    EXPECT_EQ(v.role, static_cast<unsigned>(TWINTRACK_PARAMETER));
    EXPECT_LT(v.least, v.most);
    host.good(twintrack_bench_variable(host, host.at("bench.wiring.kind"), &v));
    EXPECT_EQ(v.kind, static_cast<unsigned>(TWINTRACK_CHOICE));
    EXPECT_STREQ(twintrack_bench_choice(host, host.at("bench.wiring.kind"), 0), "harness");
    EXPECT_EQ(twintrack_bench_choice(host, host.at("bench.wiring.kind"), 99), nullptr);
    v.meaning = "untouched";
    v.size = offsetof(twintrack_variable, meaning);  // of an older header
    host.good(twintrack_bench_variable(host, 0, &v));
    EXPECT_STREQ(v.meaning, "untouched");
    EXPECT_NE(twintrack_bench_variable(host, 100000, &v), 0);
}

TEST(CBench, WhatIsWrongIsSaid) {
    std::array<char, 30> error{};
    EXPECT_EQ(twintrack_bench_new(R"({"kind": "engine"})", error.data(), error.size()), nullptr);
    EXPECT_STREQ(error.data(), "kind: there is no 'engine'; a");
    Host host("{}");
    EXPECT_NE(twintrack_bench_step(host, 1), 0);
    EXPECT_STREQ(twintrack_bench_error(host), "step: the run has not started");
    EXPECT_NE(twintrack_bench_set(host, host.at("bench.supply"), 1000.0), 0);
    EXPECT_STREQ(twintrack_bench_error(host), "bench.supply: battery voltage is 1000 V; allowed: 0 to 36 V");
    EXPECT_NE(twintrack_bench_set(host, host.at("bench.seed"), 1.5), 0);
    host.start();
    EXPECT_NE(twintrack_bench_set(host, host.at("bench.supply"), 12.0), 0);
    EXPECT_NE(twintrack_bench_set(host, host.at("blade.angle"), 0.0), 0);
    EXPECT_NE(twintrack_bench_start(host), 0);
    EXPECT_EQ(twintrack_bench_text(host, host.at("blade.angle")), nullptr);
}
