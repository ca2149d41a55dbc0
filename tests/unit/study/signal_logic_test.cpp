// SPDX-License-Identifier: BSD-3-Clause
// Expected values follow from the definitions in the header (analytic), unless a test says otherwise.
#include "twintrack/study/signal_logic.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "twintrack/core/error.hpp"
#include "twintrack/study/trace.hpp"

namespace {

using namespace twintrack;
using namespace twintrack::study;

constexpr double infinity = std::numeric_limits<double>::infinity();

/// Signals x and y, one row a millisecond.
Record two(const std::vector<double>& x, const std::vector<double>& y = {}) {
    Record record({{"x", ""}, {"y", ""}});
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double row[] = {x[i], y.empty() ? 0.0 : y[i]};
        record.append(milliseconds(static_cast<std::int64_t>(i)), row);
    }
    return record;
}

std::vector<double> margins(const Formula& f, const Record& r) { return answer(f, Trace(r)).margin; }
std::vector<char> truths(const Formula& f, const Record& r) { return answer(f, Trace(r)).holds; }

TEST(SignalLogic, ComparesWeightedSumsAndMagnitudes) {
    const auto r = two({1.0, -3.0}, {0.5, 2.0});
    const Sum x = signal("x"), y = signal("y");
    EXPECT_EQ(margins(2.0 * x - y > 1.0, r), (std::vector<double>{0.5, -9.0}));
    EXPECT_EQ(margins(magnitude(x + y) <= 1.0 + y, r), (std::vector<double>{0.0, 2.0}));
    EXPECT_EQ(truths(magnitude(x + y) <= 1.0 + y, r), (std::vector<char>{1, 1}));
    EXPECT_EQ(truths(magnitude(x + y) > 1.0 + y, r), (std::vector<char>{0, 0}));
    EXPECT_EQ(truths(!(x < 1.0), r), (std::vector<char>{1, 0})) << "strict: 1 is not below 1";
}

TEST(SignalLogic, LooksAheadAndBackThroughAWindow) {
    const auto r = two({1, 4, 2, 5, 3});
    const Formula x = signal("x") > 0.0;
    EXPECT_EQ(margins(always(between(0.0, 0.001), x), r), (std::vector<double>{1, 2, 2, 3, 3}));
    EXPECT_EQ(margins(eventually(between(0.001, 0.002), x), r), (std::vector<double>{4, 5, 5, 3, -infinity}));
    EXPECT_EQ(margins(always(between(0.001, 0.002), x), r), (std::vector<double>{2, 2, 3, 3, infinity}));
    EXPECT_EQ(margins(historically(between(0.001, 0.002), x), r), (std::vector<double>{infinity, 1, 1, 2, 2}));
    EXPECT_EQ(margins(once(after(0.0), x), r), (std::vector<double>{1, 4, 4, 5, 5}));
    EXPECT_EQ(margins(previous(x), r), (std::vector<double>{-infinity, 1, 4, 2, 5}));
}

TEST(SignalLogic, UntilNeedsItsGoalAndNotTheFirstPartAtTheGoal) {
    const auto r = two({1, 1, -1, 1, -1}, {-1, -1, 1, -1, -1});
    const Formula x = signal("x") > 0.0, y = signal("y") > 0.0;
    EXPECT_EQ(truths(until(x, after(0.0), y), r), (std::vector<char>{1, 1, 1, 0, 0}));
    EXPECT_EQ(truths(until(x, between(0.0, 0.001), y), r), (std::vector<char>{0, 1, 1, 0, 0}));
    EXPECT_EQ(truths(since(x, after(0.0), y), r), (std::vector<char>{0, 0, 1, 1, 0}));
}

TEST(SignalLogic, LongerThanIsTrueOneTickAfterAtLeast) {
    std::vector<double> x(200, 0.0);
    for (std::size_t i = 20; i <= 121; ++i) x[i] = 1.0;
    const auto r = two(x);
    const auto longer = truths(persists(signal("x") > 0.5, 0.100), r),
               held_for = truths(held(signal("x") > 0.5, 0.1), r);
    EXPECT_FALSE(longer[120]) << "seen at 20 … 120 ms: it has lasted 100 ms";
    EXPECT_TRUE(longer[121]);
    EXPECT_FALSE(longer[122]);
    EXPECT_FALSE(held_for[119]);
    EXPECT_TRUE(held_for[120]);
    EXPECT_FALSE(truths(persists(signal("x") < 2.0, 0.100), r)[100]) << "nothing is known from before the record";
    EXPECT_TRUE(truths(persists(signal("x") < 2.0, 0.100), r)[101]);
}

TEST(SignalLogic, ACrispConditionDoesNotCountInTheMargin) {
    const auto r = two({0.1, 0.3}, {0.0, 1.0});
    const Formula f = signal("x") < 0.5 && crisp(signal("y") >= 0.0);
    EXPECT_EQ(margins(f, r), (std::vector<double>{0.4, 0.2}));
    EXPECT_EQ(margins(signal("x") < 0.5 && crisp(signal("y") > 0.0), r), (std::vector<double>{-infinity, 0.2}));
}

TEST(SignalLogic, KnowsWhetherTheRecordGoesOn) {
    EXPECT_EQ(truths(recorded(0.002), two({0, 0, 0, 0})), (std::vector<char>{1, 1, 0, 0}));
}

/// The definitions written out, row by row and window by window; the parts are "a signal is above 0".
double by_definition(const Formula& f, const Record& r, std::size_t i) {
    const auto t = [&](std::size_t k) { return from_seconds(r.time()[k]).count(); };
    const auto part = [&](std::size_t p, std::size_t k) {
        return r.column(f.parts[p].comparison.left.terms[0].signal)[k];
    };
    const bool weak = f.what == Operator::always || f.what == Operator::historically;
    const bool back = f.what == Operator::historically || f.what == Operator::once || f.what == Operator::since;
    double best = weak ? infinity : -infinity;
    for (std::size_t j = back ? 0 : i; j < (back ? i + 1 : r.size()); ++j) {
        const auto distance = back ? t(i) - t(j) : t(j) - t(i);
        if (distance < f.window.from.count() || distance > f.window.to.count()) continue;
        double here = part(f.parts.size() - 1, j);
        if (f.what == Operator::until)
            for (std::size_t k = i; k < j; ++k) here = std::min(here, part(0, k));
        if (f.what == Operator::since)
            for (std::size_t k = j + 1; k <= i; ++k) here = std::min(here, part(0, k));
        best = weak ? std::min(best, here) : std::max(best, here);
    }
    return best;
}

TEST(SignalLogic, AgreesWithItsDefinitionOnEvenAndUnevenRecords) {
    std::mt19937 draw(1);
    const auto upto = [&](int n) { return static_cast<int>(draw() % static_cast<unsigned>(n)); };
    const Formula x = signal("x") > 0.0, y = signal("y") > 0.0;
    for (int trial = 0; trial < 2000; ++trial) {
        Record r({{"x", ""}, {"y", ""}});
        Time now{};
        const bool even = trial % 2 == 0;
        const int step = 1 + upto(3), rows = 1 + upto(40);
        for (int i = 0; i < rows; ++i, now += milliseconds(even ? step : upto(4))) {  // rows of the same instant too
            const double row[] = {upto(100) - 50.0, upto(100) - 50.0};
            r.append(now, row);
        }
        const double from = 1e-3 * upto(8);
        const Window w = upto(3) ? between(from, from + 1e-3 * upto(12)) : after(from);
        const Formula all[] = {always(w, x),       eventually(w, x), until(x, w, y),
                               historically(w, x), once(w, x),       since(x, w, y)};
        for (const auto& f : all) {
            const Robustness a = answer(f, Trace(r));
            for (std::size_t i = 0; i < r.size(); ++i) {
                ASSERT_EQ(a.margin[i], by_definition(f, r, i))
                    << "operator " << static_cast<int>(f.what) << " row " << i;
                if (a.margin[i] != 0.0) {
                    ASSERT_EQ(a.holds[i], a.margin[i] > 0.0);
                }
            }
        }
    }
}

TEST(SignalLogic, HasLastedIsSinceByItself) {
    std::mt19937 draw(2);
    const auto upto = [&](int n) { return static_cast<int>(draw() % static_cast<unsigned>(n)); };
    const Formula x = signal("x") >= 0.0;
    for (int trial = 0; trial < 500; ++trial) {
        Record r(std::vector<Signal>{{"x", ""}});
        Time now{};
        const int step = upto(4), rows = 1 + upto(40);  // 0: an uneven record
        for (int i = 0; i < rows; ++i, now += milliseconds(step ? step : upto(4))) {
            const double row[] = {upto(8) - 1.0};
            r.append(now, row);
        }
        const double t = 1e-3 * upto(12);
        EXPECT_EQ(margins(held(x, t), r), margins(since(x, after(t), x), r));
        EXPECT_EQ(truths(held(x, t), r), truths(since(x, after(t), x), r));
        EXPECT_EQ(truths(persists(x, t), r), truths(since(x, after(t + 1e-6), x), r));
    }
}

TEST(SignalLogic, AtAMarginOfZeroTheTruthDecidesThroughEveryOperator) {
    const auto r = two({0.0, 0.0, 1.0}, {0.0, 0.0, 0.0});
    const Formula at_least = signal("x") >= 0.0, above = signal("y") > 0.0;
    EXPECT_EQ(margins(at_least && above, r), (std::vector<double>{0, 0, 0}));
    EXPECT_EQ(truths(at_least && above, r), (std::vector<char>{0, 0, 0}));
    EXPECT_EQ(truths(at_least || above, r), (std::vector<char>{1, 1, 1}));
    EXPECT_EQ(truths(!above, r), (std::vector<char>{1, 1, 1}));
    EXPECT_EQ(truths(always(after(0.0), at_least), r), (std::vector<char>{1, 1, 1}));
    EXPECT_EQ(truths(eventually(between(0.0, 0.001), above), r), (std::vector<char>{0, 0, 0}));
    EXPECT_EQ(margins(crisp(at_least), r), (std::vector<double>{infinity, infinity, infinity}));
}

TEST(SignalLogic, RefusesNonsense) {
    const auto r = two({0.0, std::nan("")});
    EXPECT_THROW((void)answer(signal("x") > 0.0, Trace(r)), InvalidParameter);
    EXPECT_THROW((void)answer(signal("z") > 0.0, Trace(r)), InvalidParameter);
    EXPECT_THROW((void)between(0.2, 0.1), InvalidParameter);
    EXPECT_THROW((void)between(-0.1, 0.1), InvalidParameter);
    EXPECT_THROW((void)after(NAN), InvalidParameter);
    EXPECT_THROW((void)(signal("x") > Sum(NAN)), InvalidParameter);
    EXPECT_THROW((void)(infinity * signal("x") > 0.0), InvalidParameter);
    EXPECT_THROW((void)join(Operator::until, {}, {truth(true)}), InvalidParameter);
    Formula deep = truth(true);
    const auto nest = [&] {
        for (int i = 0; i < 250; ++i) deep = !deep;
    };
    EXPECT_THROW(nest(), InvalidParameter);
}

TEST(SignalLogic, NamesItsSignals) {
    EXPECT_EQ(signals_of(until(signal("b") > signal("a"), after(0.0), signal("b") > 0.0)),
              (std::vector<std::string>{"b", "a"}));
}

}  // namespace
