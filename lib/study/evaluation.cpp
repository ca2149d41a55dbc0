// SPDX-License-Identifier: BSD-3-Clause
#include "evaluation.hpp"

#include <algorithm>
#include <span>
#include <string>

#include "twintrack/core/error.hpp"

namespace twintrack::study {

namespace {

constexpr double endless_margin = std::numeric_limits<double>::infinity();

/// Adds weight × signal for each term of a sum.
void add_terms(const Sum& sum, const Trace& trace, Column& total) {
    for (const auto& [name, weight] : sum.terms) {
        const auto column = trace.find(name);
        if (!column) (void)trace.record().column(name);  // throws, listing the names there are
        const double* x = column->data();
        if (&name == &sum.terms.front().signal)
            for (std::size_t i = 0; i < total.size(); ++i) total[i] = weight * x[i];
        else
            for (std::size_t i = 0; i < total.size(); ++i) total[i] += weight * x[i];
    }
    if (sum.constant != 0.0)
        for (double& t : total) t += sum.constant;
}

Column sum_of(const Sum& sum, const Trace& trace) {
    Column total(trace.size(), 0.0);
    add_terms(sum, trace, total);
    return total;
}

Column compared(const Comparison& c, const Trace& trace) {
    Column a = sum_of(c.left, trace);
    if (c.absolute)
        for (double& x : a) x = std::fabs(x);
    const bool upward = c.relation == Relation::above || c.relation == Relation::at_least;
    const bool equal_counts = c.relation == Relation::at_least || c.relation == Relation::at_most;
    if (!c.right.terms.empty()) {
        const Column b = sum_of(c.right, trace);
        for (std::size_t i = 0; i < a.size(); ++i) a[i] -= b[i];
    } else {
        for (double& x : a) x -= c.right.constant;
    }
    const double sign = upward ? 1.0 : -1.0, equal = equal_counts ? decided : -decided;
    bool numbers = true;
    for (double& x : a) numbers &= x == x, x = x == 0.0 ? equal : sign * x;
    if (numbers) return a;
    const auto row = std::find_if(a.begin(), a.end(), [](double x) { return std::isnan(x); }) - a.begin();
    throw InvalidParameter(c.left.terms.empty() ? "comparison" : c.left.terms[0].signal,
                           "not a number in row " + std::to_string(row + 1));
}

Column opposite(Column a) {
    for (double& x : a) x = -x;
    return a;
}

Column smaller(Column a, const Column& b) {
    for (std::size_t i = 0; i < a.size(); ++i) a[i] = std::min(a[i], b[i]);
    return a;
}

Column larger(Column a, const Column& b) {
    for (std::size_t i = 0; i < a.size(); ++i) a[i] = std::max(a[i], b[i]);
    return a;
}

Column crisped(Column a) {
    for (double& x : a) x = holds(x) ? endless_margin : -endless_margin;
    return a;
}

Column one_later(const Column& a) {
    Column b(a.size(), -endless_margin);
    if (!a.empty()) std::copy(a.begin(), a.end() - 1, b.begin() + 1);
    return b;
}

bool same(const Formula& a, const Formula& b) {
    return a.what == b.what && a.value == b.value && a.window == b.window && a.comparison == b.comparison;
}

}  // namespace

std::size_t Parts::add(const Formula& formula) {
    Part part{&formula, {}};
    for (const Formula& f : formula.parts) part.of.push_back(add(f));
    for (std::size_t k = 0; k < parts_.size(); ++k)
        if (parts_[k].of == part.of && same(*parts_[k].formula, formula)) return k;
    parts_.push_back(std::move(part));
    return parts_.size() - 1;
}

Evaluation::Evaluation(const Parts& parts, const Trace& trace)
    : parts_(parts), trace_(trace), windows_(trace.microseconds()), known_(parts.size()) {}

const Column& Evaluation::operator()(std::size_t number) {
    if (!known_[number]) known_[number] = made(parts_[number]);
    return *known_[number];
}

Column Evaluation::made(const Parts::Part& part) {
    const Formula& f = *part.formula;
    const auto of = [&](std::size_t k) -> const Column& { return (*this)(part.of[k]); };
    const auto most = [&](Direction direction) {
        return opposite(windows_.least(opposite(of(0)), f.window, direction, endless_margin));
    };
    switch (f.what) {
        case Operator::truth:
            return Column(trace_.size(), f.value ? endless_margin : -endless_margin);
        case Operator::comparison:
            return compared(f.comparison, trace_);
        case Operator::negation:
            return opposite(of(0));
        case Operator::conjunction:
            return smaller(of(0), of(1));
        case Operator::disjunction:
            return larger(of(0), of(1));
        case Operator::implication:
            return larger(opposite(of(0)), of(1));
        case Operator::previous:
            return one_later(of(0));
        case Operator::crisp:
            return crisped(of(0));
        case Operator::always:
            return windows_.least(of(0), f.window, Direction::ahead, endless_margin);
        case Operator::historically:
            return windows_.least(of(0), f.window, Direction::back, endless_margin);
        case Operator::eventually:
            return most(Direction::ahead);
        case Operator::once:
            return most(Direction::back);
        case Operator::until:
            return windows_.until(of(0), of(1), f.window, Direction::ahead);
        case Operator::since:
            return windows_.until(of(0), of(1), f.window, Direction::back);
        case Operator::held:
            return windows_.lasted(of(0), f.window);
        case Operator::persists:  // longer than T: T and a microsecond
            return windows_.lasted(of(0), {f.window.from + Time{1}, f.window.to});
    }
    return {};
}

}  // namespace twintrack::study
