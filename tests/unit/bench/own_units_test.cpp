// SPDX-License-Identifier: BSD-3-Clause
// Monitor and learn as C++ callables, each replaced alone. The built-in ones through the same factories are the
// reference.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "twintrack/bench/learn.hpp"
#include "twintrack/bench/run.hpp"
#include "twintrack/core/error.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::bench;
using monitor::MonitorAnswer;
using monitor::Reaction;

const control::LearnedRange& learned() {
    static const control::LearnedRange range = *learn(BenchParameters{}).result.range;
    return range;
}

Stroke foot() { return {{0.0, 0.4, 0.6, 1.2, 1.4}, {0.0, 0.0, 0.6, 0.6, 0.0}}; }

SessionOptions options(std::vector<fault::Fault> faults = {}) {
    SessionOptions o;
    o.learned = learned();
    o.faults = fault::Schedule(std::move(faults));
    return o;
}

std::vector<fault::Fault> drift() {
    fault::Fault f;
    f.where = "pedal.track1", f.what = "offset", f.amount = 0.2, f.from = milliseconds(700);
    return {f};
}

void expect_same(const Record& a, const Record& b) {
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t k = 0; k < a.signals().size(); ++k) {
        const auto x = a.column(k), y = b.column(k);
        for (std::size_t i = 0; i < x.size(); ++i)
            ASSERT_TRUE(x[i] == y[i] || (std::isnan(x[i]) && std::isnan(y[i]))) << a.signals()[k].name << " row " << i;
    }
}

TEST(OwnUnits, TheBuiltInOnesByTheSameFactoriesGiveTheSameBits) {
    for (const auto& faults : {std::vector<fault::Fault>{}, drift()}) {
        const bench::Run plain = run(BenchParameters{}, foot(), {}, options(faults));
        SessionOptions o = options(faults);
        o.units = {built_in_controller, built_in_monitor, {}};
        const bench::Run own = run(BenchParameters{}, foot(), {}, std::move(o));
        expect_same(plain.record, own.record);
        ASSERT_EQ(plain.codes.size(), own.codes.size());
        for (std::size_t k = 0; k < plain.codes.size(); ++k) {
            EXPECT_EQ(plain.codes[k].text(), own.codes[k].text());
            EXPECT_EQ(plain.codes[k].meaning, own.codes[k].meaning);
            EXPECT_EQ(plain.codes[k].confirmed, own.codes[k].confirmed);
        }
        EXPECT_EQ(plain.codes.empty(), faults.empty());
    }
    const LearnRun plain = learn(BenchParameters{}),
                   own = learn(BenchParameters{}, LearnOptions{.unit = built_in_learn});
    expect_same(plain.record, own.record);
    EXPECT_EQ(plain.result.range->throttle, own.result.range->throttle);
    EXPECT_EQ(plain.result.range->pedal, own.result.range->pedal);
}

bench::Run with(monitor::MonitorFunction function) {
    SessionOptions o = options();
    o.monitor = std::move(function);
    return run(BenchParameters{}, foot(), {}, std::move(o));
}

TEST(OwnUnits, OrdersOfAMonitorOfOnesOwnReachControllerAndEngine) {
    BenchParameters p;
    p.engine = EngineSetup{};
    SessionOptions o = options();
    o.monitor = [](const control::Input& in, const control::Command&) {
        const bool late = in.time >= milliseconds(800);
        const monitor::Action cut{.demand_limit = 0.1, .fuel_permitted = false};
        return MonitorAnswer{.reaction = late ? Reaction::limited : Reaction::none,
                             .orders = late ? std::optional(cut) : std::nullopt};
    };
    Session s(p, foot(), std::move(o));
    while (s.time() < milliseconds(1200)) s.step();
    EXPECT_EQ(s.snapshot().reaction, Reaction::limited);
    EXPECT_FALSE(s.snapshot().action.fuel_permitted);
    EXPECT_EQ(s.snapshot().input.demand_limit, 0.1);
    EXPECT_LE(s.snapshot().command.set_point, 0.1 + 1e-9);
    ASSERT_EQ(s.history().modes().size(), 4u);
    EXPECT_EQ(s.history().modes()[0].state, monitor::CodeState::confirmed);
}

TEST(OwnUnits, StricterTakesTheStricterOfEach) {
    const monitor::Action a{.demand_limit = 0.3, .slope_limit = 0.0, .speed_limit = 150.0};
    const monitor::Action b{.demand_limit = 0.5, .slope_limit = 0.5, .lowest_track = true, .motor_permitted = false};
    for (const monitor::Action& c : {stricter(a, b), stricter(b, a)}) {
        EXPECT_EQ(c.demand_limit, 0.3);
        EXPECT_EQ(c.slope_limit, 0.5);
        EXPECT_EQ(c.speed_limit, 150.0);
        EXPECT_TRUE(c.lowest_track && !c.motor_permitted && c.fuel_permitted);
    }
}

TEST(OwnUnits, AMonitorThatFailsEndsItsRunWithTickAndField) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const std::vector<std::pair<MonitorAnswer, std::string>> wrongs = {
        {{.reaction = static_cast<Reaction>(9)}, "the monitor answered a reaction that there is not"},
        {{.orders = monitor::Action{.demand_limit = nan}},
         "the monitor answered orders.demand_limit = nan; allowed: 0 to 1"},
        {{.orders = monitor::Action{.slope_limit = -1.0}},
         "the monitor answered orders.slope_limit = -1; allowed: 0 or more"},
        {{.orders = monitor::Action{.speed_limit = std::numeric_limits<double>::infinity()}},
         "the monitor answered orders.speed_limit = inf; allowed: 0 or more"},
        {{.codes = {""}},
         "the monitor answered the code ''; allowed: 1 to 32 letters, digits, blanks, '-', '_' and ':'"}};
    for (const auto& [wrong, sentence] : wrongs) {
        const bench::Run r = with([answer = wrong](const control::Input& in, const control::Command&) {
            return in.time < milliseconds(30) ? MonitorAnswer{} : answer;
        });
        EXPECT_EQ(r.outcome.status, Status::unit_failure);
        EXPECT_EQ(r.outcome.when, milliseconds(30));
        EXPECT_EQ(r.outcome.reason, sentence + " (tick 30)");
    }
    const bench::Run thrown =
        with([](const control::Input&, const control::Command&) -> MonitorAnswer { throw std::range_error("table"); });
    EXPECT_EQ(thrown.outcome.reason, "the monitor failed: table (tick 0)");
}

TEST(OwnUnits, CodesThatAreNoLongerSaidHaveHealedAndAreListedOnce) {
    const bench::Run r = with([](const control::Input& in, const control::Command&) {
        const bool on = in.time < milliseconds(100) || (in.time >= milliseconds(200) && in.time < milliseconds(300));
        return MonitorAnswer{.codes = on ? std::vector<std::string>{"OWN"} : std::vector<std::string>{}};
    });
    ASSERT_EQ(r.codes.size(), 1u);
    EXPECT_EQ(r.codes[0].text(), "OWN");
    EXPECT_EQ(r.codes[0].confirmed, Time{});
    const monitor::FaultEntry& entry = r.history.entries().front();
    EXPECT_EQ(entry.count, 2);
    EXPECT_EQ(entry.state, monitor::CodeState::healed);
    EXPECT_EQ(entry.healed, milliseconds(300));
}

TEST(OwnUnits, ALearnOfOnesOwnIsCheckedAndItsMemoryKept) {
    const auto ends = [](control::LearnAnswer answer) {
        return learn(BenchParameters{}, LearnOptions{.unit = [answer](const auto&, const auto&) {
                         return [answer](const control::Input& in) {
                             return in.time < milliseconds(40) ? control::LearnAnswer{} : answer;
                         };
                     }});
    };
    const LearnRun accepted = ends({.finished = true, .range = learned()});
    EXPECT_TRUE(accepted.result.accepted);
    EXPECT_EQ(accepted.store.read().range->throttle, learned().throttle);
    const LearnRun refused = ends({.finished = true, .reason = "Not today."});
    EXPECT_FALSE(refused.result.accepted);
    EXPECT_EQ(refused.result.reason, "Not today.");
    EXPECT_EQ(refused.result.refusal, control::Refusal::own_reason);
    control::LearnedRange flat = learned();
    flat.pedal[0].curve.fill(0.5);
    const LearnRun wrong = ends({.finished = true, .range = flat});
    EXPECT_EQ(wrong.outcome.status, Status::unit_failure);
    EXPECT_EQ(wrong.result.refusal, control::Refusal::unit_failed);
    EXPECT_NE(wrong.result.reason.find("the learn answered range.pedal"), std::string::npos) << wrong.result.reason;
}

TEST(OwnUnits, AFactoryThatThrowsOrGivesNothingIsRefused) {
    SessionOptions o = options();
    o.units.monitor = [](const auto&, const auto&) -> monitor::MonitorFunction { throw std::range_error("no table"); };
    EXPECT_THROW(Session(BenchParameters{}, foot(), o), InvalidParameter);
    o.units.monitor = [](const auto&, const auto&) { return monitor::MonitorFunction{}; };
    EXPECT_THROW(Session(BenchParameters{}, foot(), o), InvalidParameter);
}

TEST(OwnUnits, ThereIsAnEndToTheNamesOfCodes) {
    EXPECT_THROW(for (std::size_t k = 0; k <= monitor::most_texts; ++k)(void) monitor::code_of("N" + std::to_string(k)),
                 InvalidParameter);
    EXPECT_EQ(monitor::code_of("P2135-62").meaning, correlation(monitor::Assembly::throttle, 0, 1).meaning);
}

}  // namespace
