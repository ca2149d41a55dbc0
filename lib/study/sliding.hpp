// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <algorithm>
#include <cstdint>
#include <numeric>
#include <vector>

#include "twintrack/study/signal_logic.hpp"

/// Extremes over windows that slide along a record, and until, each in a time proportional to the number of rows.
namespace twintrack::study {

/// Rows [first, last) of each row's window; neither ever moves back.
struct Bounds {
    std::vector<std::size_t> first, last;
};

/// Rows from i on with time in [tᵢ + from, tᵢ + to]; of rows of the same instant only those from i on.
[[nodiscard]] inline Bounds bounds(const std::vector<std::int64_t>& time, const Window& w) {
    const std::size_t n = time.size();
    Bounds b{std::vector<std::size_t>(n), std::vector<std::size_t>(n, n)};
    std::size_t first = 0, last = 0;
    for (std::size_t i = 0; i < n; ++i) {
        while (first < n && (first < i || time[first] - time[i] < w.from.count())) ++first;
        while (last < n && time[last] - time[i] <= w.to.count()) ++last;
        b.first[i] = first;
        b.last[i] = last;
    }
    return b;
}

/// The value that `better` prefers in each window, `none` in an empty one: the rows that can still win are kept in
/// order, so that the winner stands first.
template <class T, class Better>
[[nodiscard]] std::vector<T> sliding(const std::vector<T>& x, const Bounds& b, T none, Better better) {
    std::vector<T> best(x.size(), none);
    std::vector<std::size_t> waiting(x.size());
    std::size_t head = 0, tail = 0, next = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        for (; next < b.last[i]; ++next) {
            while (tail > head && !better(x[waiting[tail - 1]], x[next])) --tail;
            waiting[tail++] = next;
        }
        while (head < tail && waiting[head] < b.first[i]) ++head;
        if (head < tail && b.first[i] < b.last[i]) best[i] = x[waiting[head]];
    }
    return best;
}

template <class T>
[[nodiscard]] std::vector<T> least(const std::vector<T>& x, const Bounds& b, T none) {
    return sliding(x, b, none, [](T a, T c) { return a < c; });
}

template <class T>
[[nodiscard]] std::vector<T> most(const std::vector<T>& x, const Bounds& b, T none) {
    return sliding(x, b, none, [](T a, T c) { return a > c; });
}

/// stay until[window] goal. With k the first row of the window of row i:
///     min( max goal in the window, min stay over [i, k), (stay until goal)ₖ )
/// A goal in the window, and some goal from k on up to which stay holds: whichever of the two comes first will do.
template <class T>
[[nodiscard]] std::vector<T> until(const std::vector<T>& stay, const std::vector<T>& goal, const Bounds& b, T never,
                                   T ever) {
    const std::size_t n = stay.size();
    std::vector<T> unbounded(n + 1, never), result = most(goal, b, never);
    for (std::size_t i = n; i-- > 0;) unbounded[i] = std::max(goal[i], std::min(stay[i], unbounded[i + 1]));
    Bounds before{std::vector<std::size_t>(n), b.first};
    std::iota(before.first.begin(), before.first.end(), std::size_t{0});
    const auto lasting = least(stay, before, ever);
    for (std::size_t i = 0; i < n; ++i) result[i] = std::min({result[i], lasting[i], unbounded[b.first[i]]});
    return result;
}

}  // namespace twintrack::study
