// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include "functions.hpp"

/// A table (core/table.hpp) of each lane's own. What is looked up changes little from tick to tick, so a lane holds the
/// piece that was used last and searches for another one only outside that.
namespace twintrack::lanes {

/// The piece in use: y = value + rise (x − start)/span for start ≤ x < end.
template <class T>
struct OwnTable {
    T least;  ///< first knot; below it the table is held
    T start, end, value, rise, span;
};

/// Knots of the table in each lane's row, from `place` on: first the x, then the y; what is left over of the 2ⁿ
/// `capacity` is filled with x = ∞ and the last y.
struct TablePlace {
    int place, capacity;
};

template <int places, int W, int K>
[[nodiscard]] Pack<W, K> knot(const Rows<places>& rows, int first, int capacity, const Pack<W, K>& number) noexcept {
    return Pack<W, K>::of([&](int k) {
        const auto place = wrapped<W>(number.r[k], static_cast<std::uint64_t>(capacity));
        return rows.template get<W>(k, place + static_cast<std::uint64_t>(first));
    });
}

/// Finds the pieces of all lanes.
template <int places, class T>
[[gnu::noinline, gnu::flatten]] void find_pieces(OwnTable<T>& t, const Rows<places>& rows, TablePlace p,
                                                 const T& x) noexcept {
    const T zero(0.0), one(1.0);
    T before(0.0);  // number of the last knot at or below x
    for (int step = p.capacity / 2; step > 0; step /= 2) {
        const T number(static_cast<double>(step));
        const T there = knot(rows, p.place, p.capacity, before + number);
        before = before + select(there <= x, number, zero);
    }
    const int y = p.place + p.capacity;
    t.start = knot(rows, p.place, p.capacity, before);
    t.value = knot(rows, y, p.capacity, before);
    const T next = min(before + one, T(static_cast<double>(p.capacity - 1)));
    t.end = knot(rows, p.place, p.capacity, next);
    t.rise = knot(rows, y, p.capacity, next) - t.value;
    t.span = t.end - t.start;
}

/// As Table::operator().
template <int places, class T>
[[nodiscard, gnu::always_inline]] inline T looked_up(OwnTable<T>& t, const Rows<places>& rows, TablePlace p,
                                                     const T& x) noexcept {
    const T held = max(x, t.least);
    if (any((held < t.start) | (held >= t.end))) find_pieces(t, rows, p, held);
    return t.value + t.rise * (held - t.start) / t.span;
}

}  // namespace twintrack::lanes
