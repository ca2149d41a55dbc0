// SPDX-License-Identifier: BSD-3-Clause
#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

#include "sliding.hpp"
#include "twintrack/core/error.hpp"
#include "twintrack/study/signal_logic.hpp"
#include "twintrack/study/trace.hpp"

namespace twintrack::study {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr char no = 0, yes = 1;

struct Column {
    std::span<const double> values;
    double weight;
};

/// The signals of a sum, looked up once.
std::vector<Column> columns(const Sum& sum, const Trace& trace) {
    std::vector<Column> found;
    for (const auto& [name, weight] : sum.terms) {
        const auto column = trace.find(name);
        if (!column) (void)trace.record().column(name);  // throws, listing the names there are
        found.push_back({*column, weight});
    }
    return found;
}

double value(const std::vector<Column>& terms, double constant, std::size_t row) {
    if (terms.empty()) return constant;
    double sum = terms[0].weight * terms[0].values[row];
    for (std::size_t k = 1; k < terms.size(); ++k) sum += terms[k].weight * terms[k].values[row];
    return sum + constant;
}

Robustness compared(const Comparison& c, const Trace& trace) {
    const auto left = columns(c.left, trace), right = columns(c.right, trace);
    const bool upward = c.relation == Relation::above || c.relation == Relation::at_least;
    const bool equal_counts = c.relation == Relation::at_least || c.relation == Relation::at_most;
    Robustness a{std::vector<char>(trace.size()), std::vector<double>(trace.size())};
    for (std::size_t i = 0; i < trace.size(); ++i) {
        const double l = value(left, c.left.constant, i), x = c.absolute ? std::fabs(l) : l;
        const double y = value(right, c.right.constant, i);
        a.margin[i] = upward ? x - y : y - x;
        if (std::isnan(a.margin[i]))
            throw InvalidParameter(c.left.terms.empty() ? "comparison" : c.left.terms[0].signal,
                                   "not a number in row " + std::to_string(i + 1));
        a.holds[i] = equal_counts ? a.margin[i] >= 0.0 : a.margin[i] > 0.0;
    }
    return a;
}

Robustness constant(bool value, std::size_t rows) {
    return {std::vector<char>(rows, value ? yes : no), std::vector<double>(rows, value ? infinity : -infinity)};
}

Robustness opposite(Robustness a) {
    for (auto& h : a.holds) h = !h;
    for (auto& m : a.margin) m = -m;
    return a;
}

/// and: the smaller of both, or: the larger.
template <class Choose>
Robustness combined(Robustness a, const Robustness& b, Choose choose) {
    for (std::size_t i = 0; i < a.holds.size(); ++i) {
        a.holds[i] = choose(a.holds[i], b.holds[i]);
        a.margin[i] = choose(a.margin[i], b.margin[i]);
    }
    return a;
}

constexpr auto smaller = [](auto x, auto y) { return std::min(x, y); };
constexpr auto larger = [](auto x, auto y) { return std::max(x, y); };

Robustness crisped(Robustness a) {
    for (std::size_t i = 0; i < a.holds.size(); ++i) a.margin[i] = a.holds[i] ? infinity : -infinity;
    return a;
}

Robustness one_later(const Robustness& a) {
    Robustness b = constant(false, a.holds.size());
    for (std::size_t i = 1; i < a.holds.size(); ++i) b.holds[i] = a.holds[i - 1], b.margin[i] = a.margin[i - 1];
    return b;
}

/// The same rows from last to first: looking back becomes looking forward.
Robustness mirrored(Robustness a) {
    std::reverse(a.holds.begin(), a.holds.end());
    std::reverse(a.margin.begin(), a.margin.end());
    return a;
}

class Evaluator {
public:
    explicit Evaluator(const Trace& trace) : trace_(trace), forward_(trace.microseconds()), backward_(forward_) {
        std::reverse(backward_.begin(), backward_.end());
        for (auto& t : backward_) t = forward_.back() - t;
    }

    Robustness operator()(const Formula& f) const {
        const auto part = [&](std::size_t k) { return (*this)(f.parts[k]); };
        switch (f.what) {
            case Operator::truth:
                return constant(f.value, trace_.size());
            case Operator::comparison:
                return compared(f.comparison, trace_);
            case Operator::negation:
                return opposite(part(0));
            case Operator::conjunction:
                return combined(part(0), part(1), smaller);
            case Operator::disjunction:
                return combined(part(0), part(1), larger);
            case Operator::implication:
                return combined(opposite(part(0)), part(1), larger);
            case Operator::previous:
                return one_later(part(0));
            case Operator::crisp:
                return crisped(part(0));
            case Operator::always:
                return every(part(0), bounds(forward_, f.window));
            case Operator::eventually:
                return some(part(0), bounds(forward_, f.window));
            case Operator::until:
                return lasting(part(0), part(1), bounds(forward_, f.window));
            default:
                return back(f);
        }
    }

private:
    Robustness back(const Formula& f) const {
        const auto part = [&](std::size_t k) { return mirrored((*this)(f.parts[k])); };
        Window window = f.window;
        if (f.what == Operator::persists) window.from += Time{1};  // longer than T: T and a microsecond
        const Bounds b = bounds(backward_, window);
        switch (f.what) {
            case Operator::historically:
                return mirrored(every(part(0), b));
            case Operator::once:
                return mirrored(some(part(0), b));
            case Operator::since:
                return mirrored(lasting(part(0), part(1), b));
            default: {  // persists, held
                const Robustness seen = part(0);
                return mirrored(lasting(seen, seen, b));
            }
        }
    }

    static Robustness every(const Robustness& a, const Bounds& b) {
        return {least(a.holds, b, yes), least(a.margin, b, infinity)};
    }
    static Robustness some(const Robustness& a, const Bounds& b) {
        return {most(a.holds, b, no), most(a.margin, b, -infinity)};
    }
    static Robustness lasting(const Robustness& stay, const Robustness& goal, const Bounds& b) {
        return {until(stay.holds, goal.holds, b, no, yes), until(stay.margin, goal.margin, b, -infinity, infinity)};
    }

    const Trace& trace_;
    std::vector<std::int64_t> forward_, backward_;  // [µs]
};

}  // namespace

Robustness answer(const Formula& formula, const Trace& trace) { return Evaluator(trace)(formula); }

}  // namespace twintrack::study
