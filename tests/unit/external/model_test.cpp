// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/external/model.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"

using namespace twintrack;
using external::Model;

namespace {

std::unique_ptr<Model> model(const std::string& json) { return Model::make(external::read_document(json)); }

std::size_t at(const Model& m, const std::string& name) {
    for (std::size_t i = 0; i < m.variables().size(); ++i)
        if (m.variables()[i].name == name) return i;
    throw std::out_of_range(name);
}

double get(Model& m, const std::string& name) { return m.number(at(m, name)); }
void set(Model& m, const std::string& name, double value) { m.set(at(m, name), value); }

}  // namespace

TEST(Model, StepsThatAreNoWholePeriodsKeepARemainder) {
    const auto whole = model(R"({"learned": "fresh"})"), odd = model(R"({"learned": "fresh"})");
    whole->start(), odd->start();
    whole->advance(milliseconds(2100));
    for (int i = 1; i <= 3000; ++i) odd->advance(Time{i * 700});
    EXPECT_EQ(get(*odd, "tick"), 2.1);
    EXPECT_EQ(get(*odd, "blade.angle"), get(*whole, "blade.angle"));
    odd->advance(Time{2100300});
    EXPECT_EQ(get(*odd, "tick"), 2.1);
}

TEST(Model, AParameterIsTakenAtTheStart) {
    const auto m = model(R"({"learned": "none"})");
    set(*m, "bench.supply", 11.0);
    set(*m, "bench.controller.derivative_filter", 0.002);
    set(*m, "bench.controller.derivative_filter_given", 1.0);
    m->start();
    m->advance(milliseconds(5));
    EXPECT_NEAR(get(*m, "supply"), 11.0, 0.1);
    EXPECT_EQ(m->document().bench.controller.derivative_filter, 0.002);
    EXPECT_FALSE(m->document().bench.controller.integral);
}

TEST(Model, AParameterThatFitsNoOtherIsRefusedAtTheStart) {
    const auto m = model("{}");
    set(*m, "bench.guard.undervoltage", 6.0);
    set(*m, "bench.guard.undervoltage_release", 5.5);
    EXPECT_THROW(m->start(), InvalidParameter);
}

TEST(Model, TheFootByHandIsASessionsFoot) {
    const auto m = model(R"({"learned": "fresh"})");
    m->start();
    const bench::BenchParameters p;
    bench::Session s(p, bench::Stroke::rest_half_full_rest(), {.learned = bench::learn(p).result.range});
    double most = 0.0;
    for (int i = 1; i <= 600; ++i) {
        s.step();
        if (i == 200) set(*m, "input.pedal", 0.7), s.hold_pedal(0.7);
        if (i == 500) set(*m, "input.pedal", -1.0), s.hold_pedal({});
        m->advance(milliseconds(i));
        most = std::max(most, get(*m, "blade.opening"));
    }
    s.finish();
    EXPECT_EQ(get(*m, "blade.angle"), s.snapshot().body.angle);
    EXPECT_GT(most, 0.4);
}

TEST(Model, AFaultSwitchComesAndGoes) {
    const auto m = model(R"({"learned": "fresh", "switches": [{"name": "drift", "where": "pedal.track1",
        "what": "offset", "amount": 0.02}]})");
    m->start();
    m->advance(milliseconds(300));
    const double before = get(*m, "pedal.track1");
    set(*m, "fault.drift.active", 1.0);
    m->advance(milliseconds(301));
    EXPECT_NEAR(get(*m, "pedal.track1") - before, 0.02 * 5.0, 0.02);
    set(*m, "fault.drift.amount", 0.04);
    m->advance(milliseconds(302));
    EXPECT_NEAR(get(*m, "pedal.track1") - before, 0.04 * 5.0, 0.02);
    set(*m, "fault.drift.active", 0.0);
    m->advance(milliseconds(303));
    EXPECT_NEAR(get(*m, "pedal.track1"), before, 0.02);
}

/// Controller and plant as two models, joined by hand, without monitor: the loop is that of a session.
TEST(Model, ControllerAndPlantMakeABench) {
    const auto controller = model(R"({"kind": "controller", "learned": "fresh"})");
    const auto plant = model(R"({"kind": "plant"})");
    controller->start(), plant->start();
    const bench::BenchParameters p;
    bench::Session s(p, bench::Stroke::rest_half_full_rest(),
                     {.learned = bench::learn(p).result.range, .monitored = false});
    for (int i = 0; i < 3000; ++i) {
        for (const char* k : {"[1]", "[2]"})
            for (const char* side : {"pedal", "throttle"})
                set(*controller, std::string("input.") + side + k, get(*plant, std::string("reading.") + side + k));
        set(*controller, "input.supply", get(*plant, "reading.supply"));
        set(*controller, "input.motor_current", get(*plant, "reading.motor_current"));
        controller->advance(milliseconds(i + 1));
        set(*plant, "input.duty", get(*controller, "command.duty"));
        set(*plant, "input.mode", get(*controller, "command.mode"));
        ASSERT_EQ(get(*plant, "blade.angle"), s.step().body.angle) << i;
        ASSERT_EQ(get(*controller, "command.duty"), s.snapshot().command.duty) << i;
        plant->advance(milliseconds(i + 1));
    }
    EXPECT_GT(get(*plant, "blade.opening"), 0.3);
}

TEST(Model, AStateOfTheControllerIsKept) {
    const auto m = model(R"({"kind": "controller", "learned": "fresh"})");
    m->start();
    for (int i = 1; i < 400; ++i) m->advance(milliseconds(i));
    const auto saved = m->save();
    const auto on = [&] {
        set(*m, "input.pedal[1]", 0.3);
        for (int i = 400; i < 500; ++i) m->advance(milliseconds(i));
        return get(*m, "command.duty");
    };
    const double duty = on();
    m->restore(*saved);
    EXPECT_EQ(on(), duty);
}
