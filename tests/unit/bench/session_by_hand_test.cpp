// SPDX-License-Identifier: BSD-3-Clause
// A session whose foot, brake and faults are moved while it runs, that is forked, and whose controller fails. What a
// session does with everything given ahead is the reference.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <stdexcept>

#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/session.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/engine/examples.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;

BenchParameters harnessed() {
    BenchParameters p;
    p.wiring.kind = WiringKind::harness;
    p.monitor.function_monitor.enabled = p.monitor.device.enabled = true;
    return p;
}

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *learn(harnessed()).result.range;
    return range;
}

Stroke foot() { return {{0.0, 0.2, 0.4, 1.2, 1.4}, {0.0, 0.0, 0.6, 0.6, 0.0}}; }

SessionOptions options(std::vector<fault::Fault> faults = {}) {
    SessionOptions o;
    o.learned = learned();
    o.faults = fault::Schedule(std::move(faults));
    o.brake = Stroke({0.0, 1.0}, {0.0, 0.0});
    return o;
}

fault::Fault fault_of(const char* where, const char* what, double amount = 0.0, const char* with = "") {
    fault::Fault f;
    f.where = where, f.what = what, f.amount = amount, f.with = with;
    return f;
}

void steps(Session& s, int count) {
    for (int k = 0; k < count; ++k) s.step();
}

void expect_same(const Session& a, const Session& b, const std::string& what = {}) {
    ASSERT_EQ(a.record().size(), b.record().size()) << what;
    for (std::size_t k = 0; k < a.record().signals().size(); ++k) {
        const auto x = a.record().column(k), y = b.record().column(k);
        for (std::size_t i = 0; i < x.size(); ++i)
            ASSERT_TRUE(x[i] == y[i] || (std::isnan(x[i]) && std::isnan(y[i])))
                << what << " " << a.record().signals()[k].name << " row " << i << ": " << x[i] << ", " << y[i];
    }
    ASSERT_EQ(a.codes().size(), b.codes().size()) << what;
    for (std::size_t k = 0; k < a.codes().size(); ++k) EXPECT_EQ(a.codes()[k].text(), b.codes()[k].text()) << what;
}

TEST(SessionByHand, AForkGoesOnWithTheSameBitsAndByItself) {
    BenchParameters p = harnessed();
    p.engine = EngineSetup{};
    fault::Fault late = fault_of("throttle.track1", "offset", 0.1);
    late.from = milliseconds(900);
    Session whole(p, foot(), options({late}));
    steps(whole, 700);
    Session fork = whole.fork(), other = whole.fork();
    other.hold_pedal(1.0);
    steps(other, 700);
    steps(whole, 700);
    steps(fork, 700);
    expect_same(whole, fork);
    EXPECT_FALSE(whole.codes().empty());
    EXPECT_GT(other.snapshot().asked, whole.snapshot().asked + 0.3);
}

TEST(SessionByHand, InjectedAndRemovedIsAsScheduled) {
    const std::vector<fault::Fault> faults = {fault_of("pedal.track1", "offset", 0.2),
                                              fault_of("throttle.track2", "frozen"),
                                              fault_of("pedal signal 1", "open"),
                                              fault_of("motor +", "short_to", 1.0, "motor -"),
                                              fault_of("throttle reference", "series", 200.0),
                                              fault_of("body.friction", "scale", 3.0)};
    for (const fault::Fault& f : faults) {
        fault::Fault timed = f;
        timed.from = milliseconds(500), timed.to = milliseconds(800);
        Session scheduled(harnessed(), foot(), options({timed})), by_hand(harnessed(), foot(), options());
        steps(scheduled, 1200);
        steps(by_hand, 500);
        by_hand.inject(f);
        steps(by_hand, 300);
        by_hand.remove(f.where, f.what);
        steps(by_hand, 400);
        expect_same(scheduled, by_hand, f.where + " " + f.what);
    }
}

TEST(SessionByHand, AFootAndABrakeThatAreHeldAreAsAStroke) {
    const Stroke still({0.0, 1.0}, {0.3, 0.3});
    SessionOptions braked = options();
    braked.brake = still;
    Session stroke(harnessed(), still, std::move(braked)), hand(harnessed(), foot(), options());
    hand.hold_pedal(0.3);
    hand.hold_brake(0.3);
    steps(stroke, 500), steps(hand, 500);
    expect_same(stroke, hand);
    hand.hold_pedal({});
    steps(hand, 100);
    EXPECT_EQ(hand.snapshot().pedal_travel, foot().travel(milliseconds(599)));
}

TEST(SessionByHand, RefusesAndIsAsBefore) {
    Session s(harnessed(), foot(), options()), untouched(harnessed(), foot(), options());
    steps(s, 100), steps(untouched, 100);
    EXPECT_THROW(s.inject(fault_of("nowhere", "open")), InvalidParameter);
    EXPECT_THROW(s.inject(fault_of("pedal signal 9", "open")), InvalidParameter);
    EXPECT_THROW(s.remove("motor", "offset"), InvalidParameter);
    EXPECT_THROW(s.hold_pedal(1.1), InvalidParameter);
    EXPECT_THROW(s.hold_pedal(std::nan("")), InvalidParameter);
    EXPECT_THROW(s.hold_brake(-0.1), InvalidParameter);
    Session unbraked(harnessed(), foot(), {});
    EXPECT_THROW(unbraked.hold_brake(0.1), InvalidParameter);
    steps(s, 300), steps(untouched, 300);
    expect_same(s, untouched);
}

Outcome with(control::Unit controller) {
    SessionOptions o = options();
    o.controller = std::move(controller);
    Session s(harnessed(), foot(), std::move(o));
    steps(s, 50);
    return s.outcome();
}

TEST(SessionByHand, AControllerThatFailsEndsTheRunWithTickAndField) {
    const auto after_ten = [](control::Command wrong) {
        return [wrong](const control::Input& in) { return in.time < milliseconds(10) ? control::Command{} : wrong; };
    };
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const std::vector<std::pair<control::Command, std::string>> wrongs = {
        {{.mode = plant::BridgeMode::drive, .duty = 3.0}, "the controller answered duty = 3; allowed: -1 to 1"},
        {{.duty = nan}, "the controller answered duty = nan; allowed: -1 to 1"},
        {{.set_point = nan}, "the controller answered set_point = nan; allowed: a finite number"},
        {{.mode = static_cast<plant::BridgeMode>(7)}, "the controller answered a mode that there is not"}};
    for (const auto& [wrong, sentence] : wrongs) {
        const Outcome o = with(after_ten(wrong));
        EXPECT_EQ(o.status, Status::unit_failure);
        EXPECT_EQ(o.when, milliseconds(10));
        EXPECT_EQ(o.reason, sentence + " (tick 10)");
    }
    const Outcome thrown =
        with([](const control::Input&) -> control::Command { throw std::runtime_error("no table"); });
    EXPECT_EQ(thrown.reason, "the controller failed: no table (tick 0)");
    EXPECT_EQ(thrown.when, Time{});
}

TEST(SessionByHand, DutiesAtTheLimitsArePermitted) {
    for (const double duty : {-1.0, 1.0})
        EXPECT_TRUE(with([duty](const control::Input&) {
                        return control::Command{.mode = plant::BridgeMode::drive, .duty = duty};
                    }).ok());
    const double beyond = std::nextafter(1.0, 2.0);
    EXPECT_FALSE(with([beyond](const control::Input&) { return control::Command{.duty = beyond}; }).ok());
}

/// A tick in its parts is the tick as a whole, and a fault that comes in the middle of one is there at the next.
TEST(SessionByHand, ATickInPartsIsTheSameTick) {
    const auto offset = [](Time from) {
        return fault::Fault{.where = "pedal.track1", .what = "offset", .from = from, .amount = 0.1};
    };
    Session whole(harnessed(), foot(), options({offset(milliseconds(401))}));
    SessionOptions unrecorded = options();
    unrecorded.recorded = false;
    Session parts(harnessed(), foot(), unrecorded);
    for (int i = 0; i < 800; ++i) {
        whole.step();
        EXPECT_EQ(parts.sense().input.pedal, whole.snapshot().input.pedal);
        EXPECT_EQ(parts.finish().command.duty, whole.snapshot().command.duty);
        if (i == 400) parts.inject(offset({}));
        EXPECT_EQ(parts.finish().time, milliseconds(i));  // nothing is made twice
        const std::vector<double> values = parts.values();
        parts.step();
        EXPECT_EQ(parts.time(), whole.time());
        for (std::size_t k = 0; k < values.size(); ++k) ASSERT_EQ(values[k], whole.record().column(k).back()) << k;
    }
    ASSERT_EQ(parts.faults().size(), 1u);
    EXPECT_EQ(parts.faults()[0].from, milliseconds(401));
    EXPECT_EQ(parts.codes().size(), whole.codes().size());
    EXPECT_FALSE(parts.codes().empty());
    EXPECT_EQ(parts.record().size(), 0u);
}

}  // namespace
