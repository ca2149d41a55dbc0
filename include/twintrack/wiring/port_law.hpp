// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <type_traits>

#include "twintrack/core/number.hpp"
#include "twintrack/wiring/small_ldlt.hpp"

/// The tick of a reduced net (reduction.hpp has the equations) as a law on the number type: one net, or one per lane.
namespace twintrack::wiring {

/// Places of the coefficients of a reduced net in one list of numbers. Inputs begin with the constant 1. What is read
/// are the probes, then the clamps and regulators ("elements"). `Counts` has sources, inputs, probes and elements.
template <class Counts>
struct PortPlaces {
    [[nodiscard]] constexpr int reads() const noexcept { return own().probes + own().elements; }
    [[nodiscard]] constexpr int columns() const noexcept { return own().inputs + 2 * own().sources; }

    /// First of a_kᵀZa_l, a_kᵀZh_l, h_kᵀZa_l, h_kᵀZh_l [Ω] for k ≥ l.
    [[nodiscard]] constexpr int pair(int k, int l) const noexcept { return 4 * (k * (k + 1) / 2 + l); }
    /// First of a_kᵀV and h_kᵀV for input i.
    [[nodiscard]] constexpr int drive(int k, int i) const noexcept {
        return pair(own().sources, 0) + 2 * (k * own().inputs + i);
    }
    /// What is read, by column: the inputs, then −j and r j of each source in turn. Of a regulator its voltage over
    /// what it should be is read.
    [[nodiscard]] constexpr int read(int r, int column) const noexcept {
        return drive(own().sources, 0) + column * reads() + r;
    }
    /// Least and most [V] an element may have across it in the segment it is in.
    [[nodiscard]] constexpr int bounds(int e) const noexcept { return read(0, columns()) + 2 * e; }
    [[nodiscard]] constexpr int total() const noexcept { return bounds(own().elements); }

    bool operator==(const PortPlaces&) const = default;

private:
    [[nodiscard]] constexpr const Counts& own() const noexcept { return static_cast<const Counts&>(*this); }
};

/// How much a reduced net has of each.
struct PortCounts : PortPlaces<PortCounts> {
    constexpr PortCounts() noexcept = default;
    constexpr PortCounts(int source_count, int input_count, int probe_count, int element_count) noexcept
        : sources(source_count), inputs(input_count), probes(probe_count), elements(element_count) {}
    int sources = 0, inputs = 1, probes = 0, elements = 0;

    bool operator==(const PortCounts&) const = default;
};

/// The same with the numbers of sources and inputs known at compile time.
template <int Sources, int Inputs>
struct KnownPortCounts : PortPlaces<KnownPortCounts<Sources, Inputs>> {
    explicit constexpr KnownPortCounts(const PortCounts& n) noexcept : probes(n.probes), elements(n.elements) {}
    static constexpr std::integral_constant<int, Sources> sources{};
    static constexpr std::integral_constant<int, Inputs> inputs{};
    int probes, elements;
};

/// Calls `law` with the counts: with known ones where pedal and body have two tracks each, which most have, and nothing
/// else of the harness changes. The same operations in the same order either way.
template <class Law>
auto with_known_counts(const PortCounts& n, Law&& law) {
    if (n.sources == 6 && n.inputs == 4) return law(KnownPortCounts<6, 4>(n));
    return law(n);
}

/// What a solution works on, in arrays of the caller's.
template <class T>
struct PortWork {
    T *ratio, *resistance, *inputs;  ///< to be set: r [–] and R [Ω] of each source; inputs from the second on
    T *lower, *inverse, *row;        ///< sources², sources, sources: the factored system
    T *current, *columns, *reads;    ///< j [A] into each source; [columns]; [reads]
};

/// R + r (1 − r) R_track [Ω] of a ratio source.
template <class T>
[[nodiscard]] T series_resistance(T fixed, T track, T ratio) noexcept {
    return fixed + ratio * (T(1.0) - ratio) * track;
}

/// Factors R_k δ_kl + c_kᵀ Z c_l. `c` gives coefficients by their place; the first `kept` sources are as they were when
/// this was done last. Whether it is positive definite.
template <class T, class Row, class Counts>
[[nodiscard]] auto factor_ports(const Counts& n, const Row& c, const PortWork<T>& w, int kept = 0) noexcept {
    for (int k = kept; k < n.sources; ++k) {
        for (int l = 0; l <= k; ++l) {
            const int p = n.pair(k, l);
            w.lower[k * n.sources + l] =
                c[p] - w.ratio[l] * c[p + 1] - w.ratio[k] * c[p + 2] + w.ratio[k] * w.ratio[l] * c[p + 3];
        }
        w.lower[k * n.sources + k] = w.lower[k * n.sources + k] + w.resistance[k];
    }
    return ldlt_factor(w.lower, w.inverse, w.row, n.sources, kept);
}

/// c_kᵀ V u of one input, as a right-hand side.
template <class T, class Row, class Counts>
[[nodiscard]] T pushed(const Counts& n, const Row& c, const PortWork<T>& w, int k, int input) noexcept {
    const int p = n.drive(k, input);
    return c[p] - w.ratio[k] * c[p + 1];
}

/// Currents of the factored system and what they weigh in what is read.
template <class T, class Row, class Counts>
void solve_ports(const Counts& n, const Row& c, const PortWork<T>& w) noexcept {
    for (int k = 0; k < n.sources; ++k) {
        T sum = pushed(n, c, w, k, 0);
        for (int i = 1; i < n.inputs; ++i) sum = sum + pushed(n, c, w, k, i) * w.inputs[i];
        w.current[k] = sum;
    }
    ldlt_solve(w.lower, w.inverse, w.current, n.sources);
    w.columns[0] = T(1.0);
    for (int i = 1; i < n.inputs; ++i) w.columns[i] = w.inputs[i];
    for (int k = 0; k < n.sources; ++k) {
        w.columns[n.inputs + 2 * k] = -w.current[k];
        w.columns[n.inputs + 2 * k + 1] = w.ratio[k] * w.current[k];
    }
}

/// `Some` reads from `r` on, summed in registers.
template <int Some, class T, class Row, class Counts>
void read_some(const Counts& n, const Row& c, const PortWork<T>& w, int r) noexcept {
    T sum[Some];
    for (int j = 0; j < Some; ++j) sum[j] = c[n.read(r + j, 0)];
    for (int column = 1; column < n.columns(); ++column) {
        const T x = w.columns[column];
        const int place = n.read(r, column);
        for (int j = 0; j < Some; ++j) sum[j] = sum[j] + c[place + j] * x;
    }
    for (int j = 0; j < Some; ++j) w.reads[r + j] = sum[j];
}

#ifdef __GNUC__
/// The same two by two: by itself, the compiler takes two columns at once, which is half as fast.
template <int Some, class Counts>
void read_some(const Counts& n, const double* const& c, const PortWork<double>& w, int r) noexcept {
    using Two [[gnu::vector_size(16), gnu::aligned(8), gnu::may_alias]] = double;
    static_assert(Some % 2 == 0);
    const auto two = [&](int column, int j) { return *reinterpret_cast<const Two*>(c + n.read(r + j, column)); };
    Two sum[Some / 2];
    for (int j = 0; j < Some; j += 2) sum[j / 2] = two(0, j);
    for (int column = 1; column < n.columns(); ++column) {
        const double x = w.columns[column];
        for (int j = 0; j < Some; j += 2) sum[j / 2] = sum[j / 2] + two(column, j) * x;
    }
    for (int j = 0; j < Some; j += 2) *reinterpret_cast<Two*>(w.reads + r + j) = sum[j / 2];
}
#endif

/// Reads `first` … `last` − 1 of what there is to read.
template <class T, class Row, class Counts>
void read_ports(const Counts& n, const Row& c, const PortWork<T>& w, int first, int last) noexcept {
    int r = first;
    for (; r + 8 <= last; r += 8) read_some<8>(n, c, w, r);
    if (r + 4 <= last) read_some<4>(n, c, w, r), r += 4;
    if (r + 2 <= last) read_some<2>(n, c, w, r), r += 2;
    if (r < last) read_some<1, T, Row>(n, c, w, r);
}

/// Whether every element that was read stays in its segment; within `blur` [V] of the border it does.
template <class T, class Row, class Counts>
[[nodiscard]] auto settled_ports(const Counts& n, const Row& c, const PortWork<T>& w, T blur) noexcept {
    auto all = T(0.0) <= blur;
    for (int e = 0; e < n.elements; ++e) {
        const T at = w.reads[n.probes + e];
        const int p = n.bounds(e);
        all = all & (at >= c[p] - blur) & (at <= c[p + 1] + blur);
    }
    return all;
}

/// d probe / d input of the factored system; writes into `row`.
template <class T, class Row, class Counts>
[[nodiscard]] T slope_of_ports(const Counts& n, const Row& c, const PortWork<T>& w, int probe, int input) noexcept {
    for (int k = 0; k < n.sources; ++k) w.row[k] = pushed(n, c, w, k, input);
    ldlt_solve(w.lower, w.inverse, w.row, n.sources);
    T sum = c[n.read(probe, input)];
    for (int k = 0; k < n.sources; ++k) {
        const T out = c[n.read(probe, n.inputs + 2 * k)], high = c[n.read(probe, n.inputs + 2 * k + 1)];
        sum = sum - (out - w.ratio[k] * high) * w.row[k];
    }
    return sum;
}

}  // namespace twintrack::wiring
