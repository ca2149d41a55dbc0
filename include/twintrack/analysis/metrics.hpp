// SPDX-License-Identifier: BSD-3-Clause
#pragma once
#include <optional>
#include <span>

/// Numbers drawn from recorded signals: pure functions of equally long columns; time [s] increasing.
namespace twintrack::analysis {

/// Largest minus smallest value; 0 for an empty signal.
[[nodiscard]] double swing(std::span<const double> signal) noexcept;

/// Rows with from ≤ time ≤ to, as [first, last).
struct Window {
    std::size_t first = 0, last = 0;
    [[nodiscard]] bool empty() const noexcept { return first >= last; }
};
[[nodiscard]] Window window(std::span<const double> time, double from, double to) noexcept;

/// Largest |a − b| inside the window; 0 when it is empty.
[[nodiscard]] double largest_distance(std::span<const double> a, std::span<const double> b, Window w) noexcept;

/// How far `a` is above `b`.
struct Excess {
    double largest = 0.0;     ///< largest a − b; 0 when a never exceeds b
    double longest = 0.0;     ///< [s] longest uninterrupted time with a − b > limit
    double longest_at = 0.0;  ///< [s] when that time began
};
[[nodiscard]] Excess excess(std::span<const double> time, std::span<const double> a, std::span<const double> b,
                            double limit) noexcept;

/// [s] from the start of the window until |signal − target| stays within `band` to its end; nothing if it does not.
[[nodiscard]] std::optional<double> settling_time(std::span<const double> time, std::span<const double> signal,
                                                  double target, double band, Window w) noexcept;

/// Largest signal beyond `target` in the direction of the step from `start`, as a share of the step; 0 if none.
[[nodiscard]] double overshoot(std::span<const double> signal, double start, double target, Window w) noexcept;

}  // namespace twintrack::analysis
