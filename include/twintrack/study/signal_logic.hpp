// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <array>
#include <string>
#include <utility>
#include <vector>

#include "twintrack/core/described.hpp"
#include "twintrack/core/time.hpp"

/// Sentences about recorded signals over time, and a small exact evaluator for them.
///
/// A formula is a value: comparisons of weighted sums of signals, joined by not, and, or, implies, and by operators
/// over a window of time. At every row i of a record (time tᵢ) it has a truth and a margin ρ, the robustness of signal
/// temporal logic:
///
///     x > y, x ≥ y      ρ = x − y                           holds when ρ > 0, ρ ≥ 0
///     x < y, x ≤ y      ρ = y − x
///     not φ             −ρ(φ)
///     φ and ψ           min(ρ(φ), ρ(ψ))                     or: max;    φ implies ψ: max(−ρ(φ), ρ(ψ))
///     always[a, b] φ    min ρ(φ)ⱼ over rows j ≥ i, tᵢ + a ≤ tⱼ ≤ tᵢ + b;  eventually: max
///     φ until[a, b] ψ   max over those j of min(ρ(ψ)ⱼ, min ρ(φ)ₖ for i ≤ k < j)
///     historically, once, since                             the same, looking back
///     previous φ        ρ(φ) at the row before; false, −∞, at the first row
///     persists(φ, T)    φ since[> T] φ: φ has held for longer than T, this row included
///     held(φ, T)        φ since[T, end] φ: for T or longer
///     crisp φ           +∞ where φ holds, −∞ where not: a condition whose margin shall not count
///
/// ρ > 0 makes the formula true and ρ < 0 makes it false; at ρ = 0 the truth says which. ρ keeps the unit of the
/// signals compared, so compare signals of one unit or make the others crisp.
///
/// **Ticks.** A condition true at rows t₀ … t₀ + T has lasted T: with a row each millisecond, "longer than 100 ms" is
/// true from t₀ + 101 ms on and "100 ms or longer" from t₀ + 100 ms, as in monitor/debounce.hpp. Times are whole
/// microseconds.
///
/// **Ends of a record.** What lies beyond the record is unknown. always and historically are weak: an empty window is
/// true, +∞. eventually, once, until, since, persists and held are strong: what is not in the record has not happened,
/// −∞. Say `recorded(T)` where a verdict needs the record to go on for T.
///
/// Every operator takes a time proportional to the number of rows, whatever its window.
///
/// Literature: Maler & Nickovic, Monitoring temporal properties of continuous signals, 2004; Donzé & Maler, Robust
/// satisfaction of temporal logic over real-valued signals, 2010; Donzé, Ferrère & Maler, Efficient robust monitoring
/// for STL, 2013 (the splitting of a bounded until); Lemire, Streaming maximum-minimum filter, 2006 (all from memory).
namespace twintrack::study {

class Trace;

/// A weighted sum of signals and a constant.
struct Sum {
    struct Term {
        std::string signal;
        double weight = 1.0;
        bool operator==(const Term&) const = default;
    };
    std::vector<Term> terms{};
    double constant = 0.0;

    Sum(double number) : constant(number) {}  // a number is a sum, so that `signal("duty") > 0.5` can be written
    Sum(std::vector<Term> t, double c) : terms(std::move(t)), constant(c) {}
    bool operator==(const Sum&) const = default;
};

[[nodiscard]] Sum signal(std::string name);
[[nodiscard]] Sum operator+(Sum a, const Sum& b);
[[nodiscard]] Sum operator-(Sum a, const Sum& b);
[[nodiscard]] Sum operator*(double weight, Sum a);

/// |sum|, on the left of a comparison.
struct Magnitude {
    Sum of;
};
[[nodiscard]] inline Magnitude magnitude(Sum of) { return {std::move(of)}; }

enum class Relation { above, at_least, below, at_most };

constexpr std::array<std::pair<Relation, const char*>, 4> names(Tag<Relation>) {
    return {{{Relation::above, ">"}, {Relation::at_least, ">="}, {Relation::below, "<"}, {Relation::at_most, "<="}}};
}

struct Comparison {
    Sum left{0.0};
    bool absolute = false;  ///< |left|
    Relation relation = Relation::above;
    Sum right{0.0};
    bool operator==(const Comparison&) const = default;
};

/// From and to, both included, relative to the row at hand.
struct Window {
    Time from{};
    Time to = Time::max();  ///< Time::max(): to the end (looking back: the beginning) of the record
    bool operator==(const Window&) const = default;
};

/// Throws InvalidParameter unless 0 ≤ from ≤ to ≤ 10⁹ s.
[[nodiscard]] Window between(double from, double to);
[[nodiscard]] Window after(double from);  ///< to the end

enum class Operator {
    truth,
    comparison,
    negation,
    conjunction,
    disjunction,
    implication,
    always,
    eventually,
    until,
    historically,
    once,
    since,
    previous,
    persists,
    held,
    crisp
};

constexpr std::array<std::pair<Operator, const char*>, 16> names(Tag<Operator>) {
    return {{{Operator::truth, "truth"},
             {Operator::comparison, "comparison"},
             {Operator::negation, "not"},
             {Operator::conjunction, "and"},
             {Operator::disjunction, "or"},
             {Operator::implication, "implies"},
             {Operator::always, "always"},
             {Operator::eventually, "eventually"},
             {Operator::until, "until"},
             {Operator::historically, "historically"},
             {Operator::once, "once"},
             {Operator::since, "since"},
             {Operator::previous, "previous"},
             {Operator::persists, "persists"},
             {Operator::held, "held"},
             {Operator::crisp, "crisp"}}};
}

/// A tree of operators. Made by the functions below, which refuse what is no formula.
struct Formula {
    Operator what = Operator::truth;
    bool value = true;        ///< truth
    Comparison comparison{};  ///< comparison
    Window window{};          ///< temporal operators; persists, held: from = T
    std::vector<Formula> parts{};
    int depth = 1;  ///< at most 200
    bool operator==(const Formula&) const = default;
};

[[nodiscard]] Formula truth(bool value);
/// Throws InvalidParameter for a weight or constant that is not finite.
[[nodiscard]] Formula compare(Comparison c);
[[nodiscard]] Formula join(Operator what, Window window, std::vector<Formula> parts);

[[nodiscard]] inline Formula operator>(Sum a, Sum b) { return compare({std::move(a), false, Relation::above, b}); }
[[nodiscard]] inline Formula operator>=(Sum a, Sum b) { return compare({std::move(a), false, Relation::at_least, b}); }
[[nodiscard]] inline Formula operator<(Sum a, Sum b) { return compare({std::move(a), false, Relation::below, b}); }
[[nodiscard]] inline Formula operator<=(Sum a, Sum b) { return compare({std::move(a), false, Relation::at_most, b}); }
[[nodiscard]] inline Formula operator>(Magnitude a, Sum b) { return compare({a.of, true, Relation::above, b}); }
[[nodiscard]] inline Formula operator<=(Magnitude a, Sum b) { return compare({a.of, true, Relation::at_most, b}); }

[[nodiscard]] inline Formula operator!(Formula a) { return join(Operator::negation, {}, {std::move(a)}); }
[[nodiscard]] inline Formula operator&&(Formula a, Formula b) { return join(Operator::conjunction, {}, {a, b}); }
[[nodiscard]] inline Formula operator||(Formula a, Formula b) { return join(Operator::disjunction, {}, {a, b}); }
[[nodiscard]] inline Formula implies(Formula a, Formula b) { return join(Operator::implication, {}, {a, b}); }
[[nodiscard]] inline Formula always(Window w, Formula a) { return join(Operator::always, w, {std::move(a)}); }
[[nodiscard]] inline Formula eventually(Window w, Formula a) { return join(Operator::eventually, w, {std::move(a)}); }
[[nodiscard]] inline Formula until(Formula a, Window w, Formula b) { return join(Operator::until, w, {a, b}); }
[[nodiscard]] inline Formula historically(Window w, Formula a) { return join(Operator::historically, w, {a}); }
[[nodiscard]] inline Formula once(Window w, Formula a) { return join(Operator::once, w, {std::move(a)}); }
[[nodiscard]] inline Formula since(Formula a, Window w, Formula b) { return join(Operator::since, w, {a, b}); }
[[nodiscard]] inline Formula previous(Formula a) { return join(Operator::previous, {}, {std::move(a)}); }
[[nodiscard]] inline Formula crisp(Formula a) { return join(Operator::crisp, {}, {std::move(a)}); }
[[nodiscard]] inline Formula persists(Formula a, double t) { return join(Operator::persists, after(t), {a}); }
[[nodiscard]] inline Formula held(Formula a, double t) { return join(Operator::held, after(t), {a}); }
/// The record lasts for `t` [s] or longer from here.
[[nodiscard]] inline Formula recorded(double t) { return eventually(after(t), truth(true)); }

/// Truth and margin of a formula at each row.
struct Robustness {
    std::vector<char> holds;     ///< 0 or 1
    std::vector<double> margin;  ///< ρ; +∞ or −∞ where no number decides
};

/// Throws InvalidParameter for a signal that the trace does not have, and for one that is not a number.
[[nodiscard]] Robustness answer(const Formula& formula, const Trace& trace);

/// Names of the signals of a formula, each once, in order of appearance.
[[nodiscard]] std::vector<std::string> signals_of(const Formula& formula);

}  // namespace twintrack::study
