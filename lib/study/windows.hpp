// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <cstddef>
#include <cstdint>
#include <vector>

#include "twintrack/study/signal_logic.hpp"

/// Extremes over windows that slide along a record, each in a time proportional to the number of rows.
///
/// A record has a row each millisecond, as a rule: then a window is the same number of rows everywhere, and its least
/// value comes from log₂ passes over whole columns, each of which a compiler makes of vector instructions: the least of
/// 2s rows is the least of two windows of s rows. Else the rows that can still win are kept in a queue, so that the
/// winner stands first (Lemire, Streaming maximum-minimum filter, 2006, from memory).
namespace twintrack::study {

using Column = std::vector<double>;

enum class Direction { ahead, back };

class Windows {
public:
    /// `microseconds` never decreases and outlives this.
    explicit Windows(const std::vector<std::int64_t>& microseconds);

    /// Least value over each row's window, `none` where it holds no row. Of rows of the same instant only those from
    /// the row on belong to its window.
    [[nodiscard]] Column least(const Column& x, const Window& window, Direction direction, double none) const;

    /// stay until[window] goal (back: since). With k the first row of the window of row i:
    ///     min( max goal in the window, min stay over [i, k), (stay until goal)ₖ )
    /// A goal in the window, and some goal from k on up to which stay holds: the earlier of the two decides.
    [[nodiscard]] Column until(const Column& stay, const Column& goal, const Window& window, Direction direction) const;

    /// x has held for `window.from` or longer, this row included: (x since[window] x); the window has no end.
    [[nodiscard]] Column lasted(const Column& x, const Window& window) const;

private:
    struct Rows;
    [[nodiscard]] Column on_grid(const Column& x, const Window& window, Direction direction, double none) const;
    [[nodiscard]] Rows rows(const Window& window) const;

    const std::vector<std::int64_t>& time_;
    std::int64_t step_ = 0;  ///< [µs] between any two rows; 0: not the same everywhere
};

}  // namespace twintrack::study
