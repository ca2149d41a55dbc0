// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/study/signal_logic.hpp"

#include <algorithm>
#include <cmath>

#include "twintrack/core/described.hpp"
#include "twintrack/core/error.hpp"

namespace twintrack::study {

namespace {

constexpr double longest = 1e9;  // [s]
constexpr int deepest = 200;     // operators inside each other; far above any written rule

Time window_time(double t, const char* where, double least) {
    require(t, {least, longest}, where, "s", "time");
    return from_seconds(t);
}

void check_finite(const Sum& s) {
    const auto refuse = [](const std::string& where) {
        throw InvalidParameter(where, "must be finite (no nan, no inf)");
    };
    for (const auto& term : s.terms)
        if (!std::isfinite(term.weight)) refuse(term.signal);
    if (!std::isfinite(s.constant)) refuse("comparison");
}

std::size_t parts_of(Operator what) {
    switch (what) {
        case Operator::truth:
        case Operator::comparison:
            return 0;
        case Operator::conjunction:
        case Operator::disjunction:
        case Operator::implication:
        case Operator::until:
        case Operator::since:
            return 2;
        default:
            return 1;
    }
}

void collect(const Formula& f, std::vector<std::string>& names) {
    for (const Sum* s : {&f.comparison.left, &f.comparison.right})
        for (const auto& term : s->terms)
            if (std::find(names.begin(), names.end(), term.signal) == names.end()) names.push_back(term.signal);
    for (const auto& part : f.parts) collect(part, names);
}

}  // namespace

Sum signal(std::string name) { return {{{std::move(name), 1.0}}, 0.0}; }

Sum operator+(Sum a, const Sum& b) {
    a.terms.insert(a.terms.end(), b.terms.begin(), b.terms.end());
    a.constant += b.constant;
    return a;
}

Sum operator-(Sum a, const Sum& b) { return std::move(a) + (-1.0) * b; }

Sum operator*(double weight, Sum a) {
    for (auto& term : a.terms) term.weight *= weight;
    a.constant *= weight;
    return a;
}

Window between(double from, double to) {
    const Time begin = window_time(from, "window.from", 0.0);
    return {begin, window_time(to, "window.to", from)};
}

Window after(double from) { return {window_time(from, "window.from", 0.0), Time::max()}; }

Formula truth(bool value) {
    Formula f;
    f.value = value;
    return f;
}

Formula compare(Comparison c) {
    check_finite(c.left);
    check_finite(c.right);
    Formula f;
    f.what = Operator::comparison;
    f.comparison = std::move(c);
    return f;
}

Formula join(Operator what, Window window, std::vector<Formula> parts) {
    if (parts.empty() || parts.size() != parts_of(what))
        throw InvalidParameter("formula", "an operator with " + std::to_string(parts_of(what)) + " parts was given " +
                                              std::to_string(parts.size()));
    Formula f;
    f.what = what;
    f.window = window;
    for (const auto& part : parts) f.depth = std::max(f.depth, part.depth + 1);
    if (f.depth > deepest)
        throw InvalidParameter("formula", "more than " + std::to_string(deepest) + " operators inside each other");
    f.parts = std::move(parts);
    return f;
}

std::vector<std::string> signals_of(const Formula& formula) {
    std::vector<std::string> names;
    collect(formula, names);
    return names;
}

}  // namespace twintrack::study
